// npm run accuracy: how near readings come to the truth, on simulated recordings. Bundles test/accuracy/run.ts and runs
// it; what is asked, and what the targets mean, is in docs/accuracy.md.
import { runTypescript } from "./run-typescript.mjs";

await runTypescript("accuracy");
