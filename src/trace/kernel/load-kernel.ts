/** What every kernel exports, besides its own. */
type Kernel = { readonly memory: WebAssembly.Memory; readonly memoryBytes?: WebAssembly.Global };

const pageBytes = 65_536;

/** What was compiled, by its base 64: a kernel may be started again, with a memory of its own. */
const compiled = new Map<string, WebAssembly.Module>();

/**
 * Starts a kernel from its base 64. Nothing where the processor or the engine is too old for vectors, and in a browser: the
 * pages' security policy has no 'wasm-unsafe-eval' and is to have none. Who asks for a kernel has a way without it.
 */
export function loadKernel<Exports extends Kernel>(base64: string): Exports | undefined {
  if ((globalThis as { process?: object }).process === undefined) return undefined;
  try {
    const kernel = new WebAssembly.Instance(moduleOf(base64)).exports as unknown as Exports;
    const wanted = Number(kernel.memoryBytes?.value ?? 0);
    return hasMemory(kernel, wanted) ? kernel : undefined;
  } catch {
    return undefined;
  }
}

/** Whether a kernel's memory has so many bytes, or could be made as large; views of it are void where it was. */
export function hasMemory({ memory }: Pick<Kernel, "memory">, bytes: number): boolean {
  const missing = Math.ceil(bytes / pageBytes) - memory.buffer.byteLength / pageBytes;
  try {
    if (missing > 0) memory.grow(missing);
    return true;
  } catch {
    return false;
  }
}

function moduleOf(base64: string): WebAssembly.Module {
  const known = compiled.get(base64);
  if (known !== undefined) return known;
  const text = atob(base64);
  const bytes = new Uint8Array(text.length);
  for (let at = 0; at < text.length; at++) bytes[at] = text.charCodeAt(at);
  const module = new WebAssembly.Module(bytes);
  compiled.set(base64, module);
  return module;
}
