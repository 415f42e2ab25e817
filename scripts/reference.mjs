// npm run reference: every calculation on random cases, held against R. Bundles test/reference/run.ts and runs it; it
// writes docs/reference.md.
import { runTypescript } from "./run-typescript.mjs";

await runTypescript("reference");
