import { afterAll, beforeAll, expect, it } from "vitest";
import { openAsking, openTestServer } from "./helpers.ts";

// The routes of splicing over a real book in memory; each answer is held to the OpenAPI document. The loop is worked by
// hand in docs/methods/cut-length.md: 1746.55 mm.

type Server = Awaited<ReturnType<typeof openTestServer>>;
let open: Server;
let ask: Awaited<ReturnType<typeof openAsking>>["ask"];
let ids: Record<"series" | "rope" | "spool" | "recipe" | "specimen", string>;

async function value<T>(...asked: Parameters<typeof ask>): Promise<T> {
  const { status, body } = await ask(...asked);
  expect(status, JSON.stringify(body)).toBeLessThan(300);
  return (body as { value: T }).value;
}
const make = async (kind: string, fields: object) =>
  (await value<{ id: string }>("POST", `/api/records/${kind}`, fields)).id;

beforeAll(async () => {
  open = await openTestServer();
  ({ ask } = await openAsking(open.server));
  const series = await make("series", { title: "Loops" });
  const rope = await make("rope", { name: "Line 6", nominalDiameterMm: 6 });
  const spool = await make("spool", { name: "A", ropeId: rope, lengthM: 20 });
  const builtIn = await value<{ id: string; fields: object }[]>("GET", "/api/built-in-recipes");
  // A recipe of the program is taken over as it stands.
  const recipe = await make("recipe", builtIn.find(({ id }) => id === "crossed-tail-loop")?.fields ?? {});
  const specimen = await make("specimen", {
    seriesId: series,
    label: "A1",
    spoolId: spool,
    recipeId: recipe,
    wanted: { lengthMm: 600 },
  });
  ids = { series, rope, spool, recipe, specimen };
});

afterAll(() => open.close());

it("answers with a recipe's versions, and what was learned", async () => {
  await value("PATCH", `/api/records/recipe/${ids.recipe}`, {
    revision: 1,
    patch: { buryFullDiameters: 36 },
  });
  const versions = await value<{ fields: { buryFullDiameters: number } }[]>(
    "GET",
    `/api/recipes/${ids.recipe}/versions`,
  );
  expect(versions.map(({ fields }) => fields.buryFullDiameters)).toEqual([30, 36]);
  expect((await ask("GET", "/api/recipes/rec-0000000000/versions")).status).toBe(404);
  expect(await value("GET", "/api/learned-numbers")).toEqual([]);
});

it("plans cuts by the specimen's own version, as data and as a page whose marks lead back here", async () => {
  const sheet = await value<{ batches: { marked: { cut: { cutLengthMm: number } } }[] }>(
    "GET",
    `/api/series/${ids.series}/cut-sheet`,
  );
  expect(sheet.batches[0]?.marked.cut.cutLengthMm).toBeCloseTo(1746.55, 2);
  const page = await ask("GET", `/series/${ids.series}/cut-sheet?paper=letter`);
  expect(page.status).toBe(200);
  expect(page.text).toContain("size: letter");
  expect(page.text).toContain(`http://localhost/series/${ids.series}/splice/${ids.specimen}`);
  expect((await ask("GET", `/series/${ids.series}/cut-sheet?paper=napkin`)).status).toBe(400);
});

it("answers with spools, nests the cuts on them, and sets recipes side by side", async () => {
  expect(await value("GET", "/api/spools")).toMatchObject([
    { spool: { id: ids.spool }, rest: { leftM: 20 } },
  ]);
  const [nested] = await value<{ nesting: { wasteMm: number; spools: { remnantMm: number }[] } }[]>(
    "POST",
    `/api/series/${ids.series}/nesting`,
    { usableMm: 1000, lossMm: 5, balanced: false },
  );
  expect(nested?.nesting.wasteMm).toBe(0);
  // 20 m less 1746.55 mm and 5 mm lost.
  expect(nested?.nesting.spools[0]?.remnantMm).toBeCloseTo(20_000 - 1746.55 - 5, 1);
  expect((await ask("POST", `/api/series/${ids.series}/nesting`, { usableMm: -1 })).status).toBe(400);
  expect(await value("GET", `/api/series/${ids.series}/recipes`)).toMatchObject([
    { recipeName: "Crossed-tail loop", recipeVersion: 1, specimens: 1, pulled: 0 },
  ]);
});
