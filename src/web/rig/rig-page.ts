/** A rig as a page to save, with its notes in Markdown; a file of its own, so that it is fetched only where one is saved. */
export { renderRig } from "../../report/mod.ts";
