import { findCalculation } from "./calc/mod.ts";
import type { App, Effects } from "./contract.ts";
import { readCalibration } from "./read-calibration.ts";
import { bundleOfReport, bundleOfSeries } from "./use-cases/bundles.ts";
import { changeAndRead, changePulls, createAndRead } from "./use-cases/change-and-read.ts";
import { addPullOfRows, override, undo } from "./use-cases/corrections.ts";
import { figureFile, listFigures } from "./use-cases/figures.ts";
import { importBundle } from "./use-cases/import-bundle.ts";
import { findings } from "./use-cases/judge.ts";
import { loadDemo } from "./use-cases/load-demo.ts";
import { overview } from "./use-cases/overview.ts";
import { addPicture, getPicture, removePicture } from "./use-cases/pictures.ts";
import { makePlanned, plan } from "./use-cases/plan.ts";
import { getPull } from "./use-cases/pulls.ts";
import {
  getRecording,
  importRecording,
  proposeLayout,
  readFile,
  recordingBytes,
  removeRecording,
  traceWindow,
} from "./use-cases/recordings.ts";
import { getStored, removeRecord } from "./use-cases/records.ts";
import { getReport, previewReport, publishReport, withdrawReport } from "./use-cases/reports.ts";
import { changeLayout, reread } from "./use-cases/reread.ts";
import { assessStoredRig, cellsForUse, chooseFromBook } from "./use-cases/rigs.ts";
import { createSharedWork } from "./use-cases/shared-work.ts";
import { buildSite } from "./use-cases/site.ts";
import { type SlipOrBreakWork, slipOrBreak } from "./use-cases/slip-or-break.ts";
import {
  cutSheet,
  cutSheetPage,
  learned,
  nestCuts,
  recipesCompared,
  recipeVersions,
  spools,
} from "./use-cases/splice.ts";
import {
  captionsOfPull,
  filmOfPull,
  pullRecord,
  reportCompleteness,
  reportSpreadsheet,
} from "./use-cases/tell.ts";
import { createTraceCache } from "./use-cases/trace-cache.ts";
import { verifyBundle } from "./use-cases/verify-bundle.ts";

/** Decoded samples kept at hand: some 16 million rows of time and force. */
const traceCacheBytes = 256 * 1024 * 1024;

/** Answers of slip-or-break kept at hand; each is some ten kilobytes. */
const keptAnswers = 64;

/**
 * The use cases over a book and the world outside. All that the doors do goes through here.
 *
 * @example
 * const app = createApp(nodeEffects(store));
 * const rope = await app.create("rope", { name: "Loft line", nominalDiameterMm: 6 });
 */
export function createApp(effects: Effects): App {
  const { store } = effects;
  const traces = createTraceCache(traceCacheBytes);
  const slips: SlipOrBreakWork = createSharedWork(keptAnswers);
  return {
    create: (kind, input) => createAndRead(effects, kind, input),
    change: (kind, id, revision, patch) => changeAndRead(effects, kind, id, revision, patch),
    changePulls: (input) => changePulls(effects, input),
    remove: (kind, id) => removeRecord(effects, kind, id),
    get: (kind, id) => getStored(effects, kind, id),
    list: (kind, filter) => store.read.list(kind, filter),
    overview: (seriesId) => overview(effects, seriesId),
    getPull: (id) => getPull(effects, id),

    proposeLayout: (head, about) => proposeLayout(effects, head, about),
    readFile: (bytes, layout, signal) => readFile(effects, bytes, layout, signal),
    importRecording: (request) => importRecording(effects, request),
    getRecording: (sha256) => getRecording(effects, sha256),
    recordingBytes: (sha256) => recordingBytes(effects, sha256),
    removeRecording: (sha256) => removeRecording(effects, traces, sha256),
    reread: (input) => reread(effects, input),
    changeLayout: (sha256, layout) => changeLayout(effects, traces, sha256, layout),
    override: (pullId, revision, input) => override(effects, traces, pullId, revision, input),
    undo: (pullId, revision, number) => undo(effects, pullId, revision, number),
    addPullOfRows: (sha256, input) => addPullOfRows(effects, sha256, input),
    readCalibration: (input) => readCalibration(input),
    traceWindow: (sha256, window) => traceWindow(effects, traces, sha256, window),

    addPicture: (subject, fileName, bytes, caption) => addPicture(effects, subject, fileName, bytes, caption),
    picture: (id) => getPicture(effects, id),
    removePicture: (id) => removePicture(effects, id),

    calculate: async (name, input, about) => {
      const found = findCalculation(name);
      if (!found.ok) return found;
      return found.value.long === true ? effects.calculate(name, input, about) : found.value.calculate(input);
    },
    findings: (seriesId) => findings(effects, seriesId),
    slipOrBreak: (seriesId, asked, about) => slipOrBreak(effects, slips, seriesId, asked, about),
    previewReport: (seriesId) => previewReport(effects, traces, slips, seriesId),
    figures: (seriesId) => listFigures(effects, traces, seriesId),
    figure: (seriesId, kind, asked = {}) => figureFile(effects, traces, slips, { seriesId, kind, asked }),
    publishReport: (seriesId, input) => publishReport(effects, traces, slips, seriesId, input),
    withdrawReport: (id, input) => withdrawReport(effects, id, input),
    report: (id, about) => getReport(effects, id, about),
    reportCompleteness: (seriesId) => reportCompleteness(effects, seriesId),
    reportSpreadsheet: (seriesId) => reportSpreadsheet(effects, seriesId),
    pullRecord: (pullId) => pullRecord(effects, traces, pullId),
    film: (pullId) => filmOfPull(effects, traces, pullId),
    captions: (pullId, input) => captionsOfPull(effects, traces, pullId, input),
    reports: () => store.read.listReports(),
    site: (folder, input = {}) => buildSite(effects, folder, input),

    bundleOfSeries: (seriesId) => bundleOfSeries(effects, traces, slips, seriesId),
    bundleOfReport: (reportId) => bundleOfReport(effects, reportId),
    importBundle: (input) => importBundle(effects, input),
    verifyBundle: async (input) => (await effects.verifyApart(input)) ?? verifyBundle(effects, input),

    recipeVersions: (id) => recipeVersions(effects, id),
    learned: () => learned(effects),
    cutSheet: (seriesId, input) => cutSheet(effects, seriesId, input),
    cutSheetPage: (seriesId, input) => cutSheetPage(effects, seriesId, input),
    spools: () => spools(effects),
    nestCuts: (seriesId, input) => nestCuts(effects, seriesId, input),
    recipesCompared: (seriesId) => recipesCompared(effects, seriesId),

    plan: (seriesId, input) => plan(effects, seriesId, input),
    makePlanned: (seriesId, input) => makePlanned(effects, seriesId, input),

    assessRig: (rigId) => assessStoredRig(effects, rigId),
    cellsForUse: () => cellsForUse(effects),
    chooseConnectors: (input) => chooseFromBook(effects, input),

    loadDemo: () => loadDemo(effects),
  };
}
