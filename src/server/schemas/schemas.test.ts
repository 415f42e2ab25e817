import { expectTypeOf, test } from "vitest";
import type { z } from "zod";
import type {
  Imported,
  ImportedSeries,
  ProposedLayout,
  SeriesOverview,
  StoredPicture,
  StoredPull,
  StoredRecording,
  StoredReport,
  Verification,
} from "../../app/mod.ts";
import type { Problem } from "../../problem/mod.ts";
import type { LayoutHints, PullReading, Reading, TraceWindow } from "../../trace/mod.ts";
import type { problemSchema } from "./common.ts";
import type {
  layoutHintsSchema,
  proposedLayoutSchema,
  pullReadingSchema,
  readingSchema,
  storedRecordingSchema,
  traceWindowSchema,
} from "./readings.ts";
import type { storedPullSchema } from "./records.ts";
import type {
  cellFindingsSchema,
  importedSchema,
  importedSeriesSchema,
  judgedPullSchema,
  SeriesFindings,
  seriesFindingsSchema,
  seriesOverviewSchema,
  storedPictureSchema,
  storedReportSchema,
  verificationSchema,
} from "./series.ts";

// `satisfies` in the schemas sees a field of the wrong type; these lines see one that a schema leaves out. The type
// check runs them.

type Fields<T extends z.ZodType> = keyof z.output<T>;
type CellFindings = SeriesFindings["cells"][number];

test("the schemas of answers name every field of the types that they describe", () => {
  expectTypeOf<Fields<typeof problemSchema>>().toEqualTypeOf<keyof Problem>();
  expectTypeOf<Fields<typeof pullReadingSchema>>().toEqualTypeOf<keyof PullReading>();
  expectTypeOf<Fields<typeof readingSchema>>().toEqualTypeOf<keyof Reading>();
  expectTypeOf<Fields<typeof traceWindowSchema>>().toEqualTypeOf<keyof TraceWindow>();
  expectTypeOf<Fields<typeof layoutHintsSchema>>().toEqualTypeOf<keyof LayoutHints>();
  expectTypeOf<Fields<typeof proposedLayoutSchema>>().toEqualTypeOf<keyof ProposedLayout>();
  expectTypeOf<Fields<typeof storedRecordingSchema>>().toEqualTypeOf<keyof StoredRecording>();
  expectTypeOf<Fields<typeof storedPullSchema>>().toEqualTypeOf<keyof StoredPull>();
  expectTypeOf<Fields<typeof storedPictureSchema>>().toEqualTypeOf<keyof StoredPicture>();
  expectTypeOf<Fields<typeof storedReportSchema>>().toEqualTypeOf<keyof StoredReport>();
  expectTypeOf<Fields<typeof importedSchema>>().toEqualTypeOf<keyof Imported>();
  expectTypeOf<Fields<typeof importedSeriesSchema>>().toEqualTypeOf<keyof ImportedSeries>();
  expectTypeOf<Fields<typeof verificationSchema>>().toEqualTypeOf<keyof Verification>();
  expectTypeOf<Fields<typeof seriesOverviewSchema>>().toEqualTypeOf<keyof SeriesOverview>();
  expectTypeOf<Fields<typeof seriesFindingsSchema>>().toEqualTypeOf<keyof SeriesFindings>();
  expectTypeOf<Fields<typeof judgedPullSchema>>().toEqualTypeOf<keyof SeriesFindings["pulls"][number]>();
  expectTypeOf<Fields<typeof cellFindingsSchema>>().toEqualTypeOf<keyof CellFindings>();
});
