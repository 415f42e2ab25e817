/**
 * What a finding means in use: the forces in lines, lifts and pulleys by statics, the customary design factors, and the
 * load that a stated bound comes down to.
 *
 * @example
 * workingLoad(30_000 as Newtons, 5) // 6 kN, and no word of it being safe
 */

export {
  type AssessedPart,
  type AssessedRig,
  assessRig,
  type PullsOfCell,
} from "./assess-rig.ts";
// What gives way first.
export {
  type ChancePart,
  customaryCv,
  type PulledPopulation,
  type WeakestPart,
  weakestPart,
} from "./chance/weakest-part.ts";
export { type Candidate, type Choice, chooseConnectors } from "./choose-connectors.ts";
export { type CustomaryBend, customaryBends } from "./customary-bend.ts";
export { customaryChoke, customaryChokeAngles, customaryChokeAt } from "./customary-choke.ts";
export { type DesignFactor, designFactors } from "./design-factors.ts";
export { type RigFields, type RigLoad, type RigPart, rigFields } from "./rig.ts";
export { type ForceRange, type RigForces, rangeWords, rigForces } from "./rig-forces.ts";
// How legs and wraps share.
export { type SharedLegs, shareLegs } from "./sharing/share-legs.ts";
export { type WorseLoss, worseLoss } from "./sharing/worse-loss.ts";
export { type Wraps, wraps } from "./sharing/wraps.ts";
// Forces by statics.
export { type Basket, basket } from "./statics/basket.ts";
export { type Capstan, capstan } from "./statics/capstan.ts";
export { type Catenary, catenary } from "./statics/catenary.ts";
export { type Choke, choke } from "./statics/choke.ts";
export { type FallEnergy, fallEnergy } from "./statics/fall-energy.ts";
export { type LoadedLine, type LoadedLineInput, loadedLine } from "./statics/loaded-line.ts";
export { type Redirect, redirect } from "./statics/redirect.ts";
export { type SlingLegs, slingLegs } from "./statics/sling-legs.ts";
export { loadKinds, type PartPlace, partKinds, partPlaces, ratingMeanings } from "./words.ts";
export { workingLoad } from "./working-load.ts";
