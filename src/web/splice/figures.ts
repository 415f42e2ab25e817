/** The report's drawings of ropes and steps; a file of its own, so that they are fetched only where they are drawn. */
export { drawStep, schematic } from "../../report/mod.ts";
