import { afterAll, beforeAll, expect, it } from "vitest";
import { openAsking, openTestServer } from "./helpers.ts";

// Figures over HTTP, over a real book in memory.

type Server = Awaited<ReturnType<typeof openTestServer>>;
let open: Server;
let ask: Awaited<ReturnType<typeof openAsking>>["ask"];
let series: string;

async function value<T>(...asked: Parameters<typeof ask>): Promise<T> {
  const { status, body } = await ask(...asked);
  expect(status, JSON.stringify(body)).toBeLessThan(300);
  return (body as { value: T }).value;
}
const make = async (kind: string, fields: object) =>
  (await value<{ id: string }>("POST", `/api/records/${kind}`, fields)).id;
const get = (query: string) => open.server.inject({ url: `/api/series/${series}/figures/${query}` });

beforeAll(async () => {
  open = await openTestServer();
  ({ ask } = await openAsking(open.server));
  series = await make("series", { title: "Loops <script>alert(1)</script>" });
  for (const typedPeakN of [48_000, 50_000]) {
    const specimenId = await make("specimen", { seriesId: series, label: `A${typedPeakN}` });
    await make("pull", {
      seriesId: series,
      specimenId,
      typedPeakN,
      outcome: { kind: "broke", place: "throat" },
    });
  }
});

afterAll(() => open.close());

it("lists the figures that can be drawn", async () => {
  const listed = await value<{ kind: string; title: string }[]>("GET", `/api/series/${series}/figures`);
  expect(listed.map(({ kind }) => kind)).toContain("places");
  expect((await ask("GET", "/api/series/ser-0000000000/figures")).status).toBe(404);
});

it("gives one as SVG that can run nothing, as PNG and as CSV, to be shown or saved", async () => {
  const svg = await get("places?scheme=dark");
  expect(svg.statusCode).toBe(200);
  expect(svg.headers["content-type"]).toBe("image/svg+xml");
  expect(svg.headers["content-security-policy"]).toContain("default-src 'none'");
  expect(svg.headers["content-security-policy"]).toContain("sandbox");
  expect(svg.body).toContain("&lt;script&gt;alert(1)&lt;/script&gt;");
  expect(svg.body).not.toContain("<script");
  const png = await get("places?format=png&width=400&download=1");
  expect(png.headers["content-type"]).toBe("image/png");
  expect(png.headers["content-disposition"]).toContain(`attachment; filename="${series}-places.png"`);
  expect(png.rawPayload.readUInt32BE(16)).toBe(800);
  const csv = await get("places?format=csv");
  expect(csv.body).toBe("place,broke,slipped\r\nthroat,2,0\r\n");
});

it("refuses what there is not, with the field", async () => {
  expect((await get("pie")).statusCode).toBeGreaterThanOrEqual(400);
  expect((await get("pie")).json().problems[0].code).toBe("INPUT_UNKNOWN");
  expect((await get("places?format=gif")).statusCode).toBe(400);
  expect((await get("places?width=99999")).statusCode).toBe(400);
  expect((await get("overlay")).json().problems[0].code).toBe("REPORT_FIGURE");
});
