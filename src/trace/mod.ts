/** Recording in, reading out. Types first; the functions are added with the part. */
export * from "./layout.ts";
export * from "./reading.ts";
