import { expect, test } from "vitest";
import { forcesInWords } from "./forces-shown.ts";

const plain = (text: string) =>
  forcesInWords(text)
    .text.replace(/<[^>]+>/g, "")
    .replaceAll("\u00a0", " ");

// 1 lbf = 4.448 221 615 260 5 N (NIST SP 811): 31.2 kN is 7014.04 lbf, 28 kN 6294.7, 33.4 kN 7508.6.
test.each([
  ["Mean 31.2 kN (7010 lbf).", "Mean 31.2 kN (7010 lbf)."],
  ["Held 31.2 kN.", "Held 31.2 kN (7010 lbf)."],
  ["Interval 28.0 to 33.4 kN, n = 3", "Interval 28.0 to 33.4 kN (6290 to 7510 lbf), n = 3"],
  ["At 1.1 to 1.3 kN/s, 3 kNm and 5 mm", "At 1.1 to 1.3 kN/s, 3 kNm and 5 mm"],
])("%s", (text, shown) => {
  expect(plain(text)).toBe(shown);
});

test("markup in the words stays text", () => {
  expect(forcesInWords("<b>5 kN</b>").text).toContain("&lt;b&gt;");
});
