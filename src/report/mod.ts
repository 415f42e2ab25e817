/** Finding to document to HTML, CSV, SVG. Types first; functions are added with the part. */
export type { ReportInput } from "./types.ts";
