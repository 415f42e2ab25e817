/** The use cases and the interface of the store. Types first; `createApp` is added with the part. */
export type {
  App,
  CalculationNote,
  Effects,
  Imported,
  ImportRequest,
  ProposedLayout,
  SeriesOverview,
} from "./contract.ts";
export { layoutFields } from "./layout-fields.ts";
export {
  type Kept,
  type RecordFields,
  type RecordKind,
  recordKindNames,
  recordKinds,
  references,
  type StoredRecord,
} from "./records.ts";
export {
  type PictureSubject,
  type RecordFilter,
  type Store,
  type StoreAnswer,
  type StoredPicture,
  type StoredPull,
  type StoredRecording,
  type StoredReport,
  type StoreRefusal,
  StoreTrouble,
  type StoreWork,
} from "./store.ts";
