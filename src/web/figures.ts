/** The report's figures that the screens show; a file of its own, so that they are fetched only where they are drawn. */
export { figureCalibration, figureStrip } from "../report/mod.ts";
