/**
 * The use cases bound to Node: the one place below `app` that touches the machine, and its second door, so that the
 * browser can use the types of the first without Node's.
 *
 * @example
 * const app = createApp(nodeEffects(store));
 */
export { nodeEffects, nodeWorkings } from "./node-effects.ts";
export { type FileToParse, parseFile } from "./parse-halves.ts";
export { setDistRoot } from "./read-in-thread.ts";
