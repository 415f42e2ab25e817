// The pure parts run in Node, in the browser and in a worker. Of the globals that all three share they use these
// and no others: no files, no network, no clock, no chance.
declare class TextDecoder {
  constructor(label?: string, options?: { fatal?: boolean; ignoreBOM?: boolean });
  decode(input?: ArrayBufferView | ArrayBuffer, options?: { stream?: boolean }): string;
}
declare class TextEncoder {
  encode(input?: string): Uint8Array<ArrayBuffer>;
}
/** Bytes, one a character, as base 64. */
declare function btoa(bytes: string): string;
