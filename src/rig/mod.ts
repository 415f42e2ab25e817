/**
 * What a finding means in use: so far the customary design factors and the load that a stated bound comes down to.
 *
 * @example
 * workingLoad(30_000 as Newtons, 5) // 6 kN, and no word of it being safe
 */
export { type DesignFactor, designFactors } from "./design-factors.ts";
export { workingLoad } from "./working-load.ts";
