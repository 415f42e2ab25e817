/** What every kernel exports, besides its own. */
type Kernel = { readonly memory: WebAssembly.Memory; readonly memoryBytes?: WebAssembly.Global };

const pageBytes = 65_536;

/**
 * Starts a kernel from its base 64. Nothing where the processor or the engine is too old for vectors, and in a browser: the
 * pages' security policy has no 'wasm-unsafe-eval' and is to have none. Who asks for a kernel has a way without it.
 */
export function loadKernel<Exports extends Kernel>(base64: string): Exports | undefined {
  if ((globalThis as { process?: object }).process === undefined) return undefined;
  try {
    const text = atob(base64);
    const bytes = new Uint8Array(text.length);
    for (let at = 0; at < text.length; at++) bytes[at] = text.charCodeAt(at);
    const kernel = new WebAssembly.Instance(new WebAssembly.Module(bytes)).exports as unknown as Exports;
    const wanted = Math.ceil(Number(kernel.memoryBytes?.value ?? 0) / pageBytes);
    const has = kernel.memory.buffer.byteLength / pageBytes;
    if (wanted > has) kernel.memory.grow(wanted - has);
    return kernel;
  } catch {
    return undefined;
  }
}
