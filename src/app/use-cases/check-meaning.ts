import { ok, type Problem, type Result, refuse, type Warning } from "../../problem/mod.ts";
import { rigForces } from "../../rig/mod.ts";
import { quoted } from "../check-input.ts";
import type { RecordFields, RecordKind, StoredRecord } from "../records.ts";
import type { StoreWork } from "../store.ts";

/**
 * What a schema cannot see: whether a record's fields fit the rest of the book. What contradicts it is refused; what may
 * be right but is worth a second look is a warning. Facts of how a specimen was made are never refused for being odd.
 *
 * `stored` is the record as it was before, where this is a change. References that lead nowhere are the store's business.
 */
export async function checkMeaning<K extends RecordKind>(
  book: StoreWork,
  kind: K,
  fields: RecordFields<K>,
  stored?: StoredRecord<K>,
): Promise<Result<null>> {
  switch (kind) {
    case "series":
      return checkSeries(book, fields as RecordFields<"series">, stored?.id);
    case "specimen":
      return checkSpecimen(
        book,
        fields as RecordFields<"specimen">,
        stored as StoredRecord<"specimen"> | undefined,
      );
    case "pull":
      return checkPull(book, fields as RecordFields<"pull">, stored as StoredRecord<"pull"> | undefined);
    case "claim":
      return checkClaim(fields as RecordFields<"claim">);
    case "pooled-series":
      return checkPooled(fields as RecordFields<"pooled-series">);
    case "rig":
      return checkRig(fields as RecordFields<"rig">);
    default:
      return ok(null);
  }
}

async function checkSeries(
  book: StoreWork,
  { factors }: RecordFields<"series">,
  id: string | undefined,
): Promise<Result<null>> {
  const problems: Problem[] = [];
  for (const [place, { name, levels }] of factors.entries()) {
    if (factors.findIndex((factor) => factor.name === name) < place)
      problems.push(
        fieldProblem(`factors[${place}].name`, name, "a name that no other factor of the series has"),
      );
    const twice = levels.findIndex((level, at) => levels.indexOf(level) < at);
    if (twice >= 0)
      problems.push(
        fieldProblem(`factors[${place}].levels[${twice}]`, quoted(levels[twice]), "each level only once"),
      );
  }
  if (problems.length > 0) return { ok: false, problems };
  if (id === undefined) return ok(null);

  const names = new Set(factors.map(({ name }) => name));
  const warnings: Warning[] = [];
  const specimens = await book.list("specimen", { seriesId: id });
  const orphans = new Set(
    specimens.flatMap(({ levels }) => Object.keys(levels).filter((name) => !names.has(name))),
  );
  for (const orphan of orphans) {
    const labels = specimens.filter(({ levels }) => orphan in levels).map(({ label }) => label);
    warnings.push({
      code: "INPUT_DOUBT",
      message: `Specimens still carry a level of "${orphan}", which is no factor of the series now: ${someOf(labels)}.`,
      where: { field: "factors" },
      found: orphan,
      wayOut: "Give those specimens the level under the factor's new name, or keep the factor.",
    });
  }
  return ok(null, warnings);
}

async function checkSpecimen(
  book: StoreWork,
  fields: RecordFields<"specimen">,
  stored: StoredRecord<"specimen"> | undefined,
): Promise<Result<null>> {
  if (stored !== undefined && stored.seriesId !== fields.seriesId)
    return refuse(staysInSeries(stored.seriesId, fields.seriesId));
  const series = await book.get("series", fields.seriesId);
  // A series that is not there is refused by the store, with the words for it.
  if (series === undefined) return ok(null);
  const problems: Problem[] = [];
  const warnings: Warning[] = [];
  for (const [name, level] of Object.entries(fields.levels)) {
    const field = `levels.${name}`;
    const factor = series.factors.find((one) => one.name === name);
    // A level from before the series lost that factor stays until somebody changes it.
    if (factor === undefined && stored?.levels[name] !== level) {
      const names = series.factors.map((one) => `"${one.name}"`).join(", ");
      problems.push(
        fieldProblem(
          field,
          name,
          names === "" ? "no levels: the series has no factors" : `a factor of the series: ${names}`,
        ),
      );
    }
    if (factor !== undefined && !factor.levels.includes(level))
      warnings.push({
        code: "INPUT_DOUBT",
        message: "This level is not in the series' plan; the specimen will stand in a cell of its own.",
        where: { field },
        found: quoted(level),
        expected: `one of ${factor.levels.map((one) => JSON.stringify(one)).join(", ")}`,
      });
  }
  problems.push(...(await versionFaults(book, fields)));
  const spool = fields.spoolId === undefined ? undefined : await book.get("spool", fields.spoolId);
  if (spool !== undefined && fields.ropeId !== undefined && spool.ropeId !== fields.ropeId)
    warnings.push({
      code: "INPUT_DOUBT",
      message: `The specimen names one rope and spool "${spool.name}" is of another; the specimen's own counts.`,
      where: { field: "ropeId" },
      found: fields.ropeId,
      expected: spool.ropeId,
    });
  return problems.length > 0 ? { ok: false, problems } : ok(null, warnings);
}

/** A version is one that the recipe has. */
async function versionFaults(
  book: StoreWork,
  { recipeId, recipeRevision }: RecordFields<"specimen">,
): Promise<Problem[]> {
  if (recipeRevision === undefined) return [];
  if (recipeId === undefined)
    return [fieldProblem("recipeRevision", String(recipeRevision), "recipeId beside it")];
  const kept = (await book.recipeVersions(recipeId)).map(({ revision }) => revision);
  return kept.includes(recipeRevision)
    ? []
    : [
        fieldProblem(
          "recipeRevision",
          String(recipeRevision),
          `a version of the recipe that the book keeps: ${kept.join(", ")}`,
        ),
      ];
}

async function checkPull(
  book: StoreWork,
  fields: RecordFields<"pull">,
  stored: StoredRecord<"pull"> | undefined,
): Promise<Result<null>> {
  if (stored !== undefined && stored.seriesId !== fields.seriesId)
    return refuse(staysInSeries(stored.seriesId, fields.seriesId));
  const problems: Problem[] = [...(await recordingFaults(book, fields, stored))];
  const warnings: Warning[] = [];
  const specimen =
    fields.specimenId === undefined ? undefined : await book.get("specimen", fields.specimenId);
  if (specimen !== undefined && specimen.seriesId !== fields.seriesId)
    problems.push(fieldProblem("specimenId", specimen.id, "a specimen of the pull's own series"));
  if (specimen !== undefined) {
    const pulls = await book.list("pull", { specimenId: specimen.id });
    if (pulls.some(({ id }) => id !== stored?.id))
      warnings.push({
        code: "INPUT_DOUBT",
        message: `Specimen "${specimen.label}" has another pull already; a splice that was loaded once is not the same again.`,
        where: { field: "specimenId" },
        found: specimen.id,
      });
  }
  return problems.length > 0 ? { ok: false, problems } : ok(null, warnings);
}

/** A recorded pull names a recording of its series and one of the pulls in it; a typed peak stands without one. */
async function recordingFaults(
  book: StoreWork,
  fields: RecordFields<"pull">,
  stored: StoredRecord<"pull"> | undefined,
): Promise<Problem[]> {
  const { recordingSha256, recordingPull, typedPeakN } = fields;
  if (recordingSha256 === undefined)
    return recordingPull === undefined
      ? []
      : [fieldProblem("recordingPull", String(recordingPull), "recordingSha256 beside it")];
  const problems: Problem[] = [];
  if (typedPeakN !== undefined)
    problems.push(fieldProblem("typedPeakN", String(typedPeakN), "no typed peak where there is a recording"));
  const recording = await book.getRecording(recordingSha256);
  if (recording === undefined) return problems;
  if (recording.seriesId !== fields.seriesId)
    problems.push(fieldProblem("recordingSha256", recordingSha256, "a recording of the pull's own series"));
  const count = recording.reading.pulls.length;
  // A person named the rows, or read again the recording no longer shows the pull.
  const rowsNamed = fields.overrides.some(({ what }) => what === "pull");
  const lost = stored?.recordingSha256 === recordingSha256 && stored.recordingPull === undefined;
  if (recordingPull === undefined && (rowsNamed || lost)) return problems;
  if (recordingPull === undefined || recordingPull > count)
    problems.push({
      ...fieldProblem(
        "recordingPull",
        String(recordingPull ?? "nothing"),
        `a pull of the recording, 1 to ${count}`,
      ),
    });
  return problems;
}

/** A claim has its figure on its own basis, and no other. */
function checkClaim({ basis, share, valueN }: RecordFields<"claim">): Result<null> {
  const wanted = basis === "force" ? valueN : share;
  const other = basis === "force" ? share : valueN;
  const [field, beside] = basis === "force" ? ["valueN", "share"] : ["share", "valueN"];
  const problems = [
    ...(wanted === undefined ? [fieldProblem(field ?? "", "nothing", `the claimed figure (${basis})`)] : []),
    ...(other !== undefined
      ? [fieldProblem(beside ?? "", String(other), `no figure of another basis than ${basis}`)]
      : []),
  ];
  return problems.length > 0 ? { ok: false, problems } : ok(null);
}

/** Either a series of the book, or mean, SD and n as they were published, on their basis. */
function checkPooled(fields: RecordFields<"pooled-series">): Result<null> {
  const { seriesId, otherSeriesId, basis } = fields;
  const names =
    basis === "force" ? (["n", "meanN", "sdN"] as const) : (["n", "meanShare", "sdShare"] as const);
  const figures = ["n", "meanShare", "sdShare", "meanN", "sdN"] as const;
  const problems: Problem[] = [];
  if (otherSeriesId === seriesId)
    problems.push(fieldProblem("otherSeriesId", otherSeriesId, "another series than this one"));
  for (const name of figures) {
    const value = fields[name];
    const belongs = otherSeriesId === undefined && (names as readonly string[]).includes(name);
    if (value === undefined && belongs)
      problems.push(
        fieldProblem(
          name,
          "nothing",
          `mean, SD and n as they were published (${basis}), or a series of the book`,
        ),
      );
    if (value !== undefined && !belongs)
      problems.push(
        fieldProblem(
          name,
          String(value),
          otherSeriesId === undefined
            ? `no figure of another basis than ${basis}`
            : "no figure: the pulls of the other series count",
        ),
      );
  }
  return problems.length > 0 ? { ok: false, problems } : ok(null);
}

/** A rig that cannot hang as described is no rig; which parts it still lacks is said where it is assessed. */
function checkRig({ load }: RecordFields<"rig">): Result<null> {
  const forces = rigForces(load);
  if (forces.ok) return ok(null);
  const problems = forces.problems.map((problem): Problem => {
    const field = problem.where?.field;
    // The rig says its stiffness as a range; the calculation gets one end of it at a time.
    const own = field === "stiffnessEAN" ? "stiffnessHighN" : field;
    return { ...problem, where: { ...problem.where, field: own === undefined ? "load" : `load.${own}` } };
  });
  return { ok: false, problems };
}

function staysInSeries(stored: string, found: string): Problem {
  return {
    ...fieldProblem("seriesId", found, stored),
    message: "This stays in the series in which it was made.",
    wayOut: "Make a new one in the other series.",
  };
}

function fieldProblem(field: string, found: string, expected: string): Problem {
  return {
    code: "INPUT_FIELD",
    message: `This is not what is wanted here: ${expected}.`,
    where: { field },
    found,
    expected,
  };
}

function someOf(labels: readonly string[]): string {
  return labels.slice(0, 5).join(", ") + (labels.length > 5 ? ` and ${labels.length - 5} more` : "");
}
