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
declare function atob(text: string): string;
/** WebAssembly, as far as the kernels want it. */
declare namespace WebAssembly {
  class Module {
    constructor(bytes: Uint8Array<ArrayBuffer>);
  }
  class Instance {
    constructor(module: Module);
    readonly exports: object;
  }
  type Memory = { readonly buffer: ArrayBuffer; grow(pages: number): number };
  type Global = { readonly value: unknown };
}
