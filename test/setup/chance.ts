import fc from "fast-check";

/**
 * The seed from which every property test draws its cases: the same on every run, so that nothing fails by chance.
 * `BITTEREND_SEED=n` draws other cases, to look for what no case has met yet; what fails is printed with its seed.
 */
export const seed = Number(process.env["BITTEREND_SEED"] ?? 1);
if (!Number.isInteger(seed)) throw new Error("BITTEREND_SEED must be a whole number.");

fc.configureGlobal({ seed });
