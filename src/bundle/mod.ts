/**
 * The open exchange of a series: what a report rests on as a Frictionless Data Package in a zip, written, read back and
 * compared. docs/bundle.md says what lies in it.
 *
 * @example
 * const bundle = readBundle(bytes, { sha256 });
 * if (bundle.ok && bundle.value.faults.length === 0) bundle.value.content.tables.pulls.length;
 */
export { canonicalJson, type JsonValue, parseJson, plainJson } from "./canonical.ts";
export { checkedRow } from "./columns.ts";
export { type Difference, differences, sameTo } from "./compare.ts";
export {
  type BundleContent,
  type OtherSeries,
  otherSeriesFields,
  type ReadingRow,
  type RowOf,
  type TableName,
  type Tables,
  tableNames,
} from "./content.ts";
export {
  type BundleAbout,
  type BundleFile,
  contentFiles,
  describePackage,
  packagePath,
  picturePath,
  recordingPath,
  reportPath,
  resultsPath,
  samplesPath,
} from "./package.ts";
export { otherSamples, samplesAsParquet } from "./parquet.ts";
export { type Bundle, contentText, readBundle } from "./read-bundle.ts";
export { resultsCsv } from "./results.ts";
export { whatChanged } from "./what-changed.ts";
export { type BundleLimits, bundleLimits, type Files, packZip } from "./zip.ts";
