// npm run coverage: how often each bound and interval holds what it claims, by simulation with known truth. Bundles
// test/coverage/run.ts and runs it; it writes docs/methods/coverage.md and the table beside it.
import { runTypescript } from "./run-typescript.mjs";

await runTypescript("coverage");
