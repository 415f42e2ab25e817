import { ok, type Problem, type Result, refuse } from "../../problem/mod.ts";

export type RoundInput = {
  /** A number, or its decimal text: text is rounded as the decimal it is. */
  readonly value: number | string;
  readonly uncertainty?: number | string;
  /** Significant digits of the uncertainty: 1, 2, or "pdg" (2 up to 354, 1 up to 949, else 10.0). 2 unless said. */
  readonly digits?: 1 | 2 | "pdg";
  /** Without an uncertainty: significant digits of the value, or the step that it is rounded to. */
  readonly significant?: number;
  readonly step?: number | string;
  /** What becomes of an exact half, or "up": away from zero whatever is dropped. "half-even" unless said. */
  readonly rule?: "half-even" | "half-up" | "up";
};

export type Rounded = {
  readonly value: string;
  readonly uncertainty?: string;
  /** "10.058 ± 0.027", or the value alone. */
  readonly text: string;
};

/**
 * Writes a value with the digits that count: those that its uncertainty leaves, or those asked for.
 *
 * Finite numbers; an uncertainty above 0. Trailing zeros stay. Refused: what is no number, nothing to round by.
 * Source: JCGM 100:2008 (GUM), 7.2.6; NIST SP 811, B.7.1; ISO 80000-1, annex B; Review of Particle Physics, introduction,
 * for "pdg".
 *
 * @example
 * const answer = roundValue({ value: 10.05762, uncertainty: 0.027 });
 * answer.ok && answer.value.text // "10.058 ± 0.027"
 */
export function roundValue(input: RoundInput): Result<Rounded> {
  const rule = input.rule ?? "half-even";
  const value = readDecimal(input.value);
  if (value === undefined) return refuse(notDecimal("value", input.value));
  if (input.uncertainty !== undefined) {
    const uncertainty = readDecimal(input.uncertainty);
    if (uncertainty === undefined || uncertainty.digits <= 0n)
      return refuse(notDecimal("uncertainty", input.uncertainty));
    const digits = input.digits ?? 2;
    const short =
      digits === "pdg" ? roundByThreeDigits(uncertainty) : roundToSignificant(uncertainty, digits, rule);
    const long = roundAt(value, short.exponent, rule);
    const texts = { value: write(long), uncertainty: write(short) };
    return ok({ ...texts, text: `${texts.value} ± ${texts.uncertainty}` });
  }
  if (input.step !== undefined) {
    const step = readDecimal(input.step);
    if (step === undefined || step.digits <= 0n) return refuse(notDecimal("step", input.step));
    const text = write(roundToStep(value, step, rule));
    return ok({ value: text, text });
  }
  const { significant } = input;
  if (significant === undefined || !Number.isInteger(significant) || significant < 1 || significant > 100) {
    return refuse({
      code: "STAT_VALUE",
      message: "A value is rounded by its uncertainty, to a number of significant digits, or to a step.",
      where: { field: "significant" },
      found: String(significant),
      expected: "a whole number from 1 to 100",
    });
  }
  const text = write(roundToSignificant(value, significant, rule));
  return ok({ value: text, text });
}

/** digits × 10^exponent */
type Decimal = { readonly digits: bigint; readonly exponent: number };
type Rule = NonNullable<RoundInput["rule"]>;

function readDecimal(value: number | string): Decimal | undefined {
  const parts = /^\s*([+-]?)(\d*)\.?(\d*)(?:[eE]([+-]?\d{1,4}))?\s*$/.exec(String(value));
  if (parts === null) return undefined;
  const [, sign, whole = "", fraction = "", power = "0"] = parts;
  if (whole === "" && fraction === "") return undefined;
  const digits = BigInt(whole + fraction);
  return { digits: sign === "-" ? -digits : digits, exponent: Number(power) - fraction.length };
}

/** Rounds to a whole multiple of 10^exponent. */
function roundAt(value: Decimal, exponent: number, rule: Rule): Decimal {
  if (value.exponent >= exponent)
    return { digits: value.digits * 10n ** BigInt(value.exponent - exponent), exponent };
  return { digits: divide(value.digits, 10n ** BigInt(exponent - value.exponent), rule), exponent };
}

function roundToSignificant(value: Decimal, significant: number, rule: Rule): Decimal {
  const drop = lengthOf(value.digits) - significant;
  const once = roundAt(value, value.exponent + drop, rule);
  // 9.96 to two digits becomes 10, not 10.0.
  return lengthOf(once.digits) > significant ? roundAt(once, once.exponent + 1, rule) : once;
}

function roundToStep(value: Decimal, step: Decimal, rule: Rule): Decimal {
  const exponent = Math.min(value.exponent, step.exponent);
  const fine = roundAt(value, exponent, rule).digits;
  const width = roundAt(step, exponent, rule).digits;
  const times = divide(fine, width, rule);
  return { digits: times * step.digits, exponent: step.exponent };
}

function divide(value: bigint, by: bigint, rule: Rule): bigint {
  const size = value < 0n ? -value : value;
  const whole = size / by;
  const rest = size % by;
  const half = 2n * rest - by;
  const up =
    rule === "up" ? rest > 0n : half > 0n || (half === 0n && (rule === "half-up" || whole % 2n === 1n));
  const rounded = whole + (up ? 1n : 0n);
  return value < 0n ? -rounded : rounded;
}

/** The particle physicists' rule looks at the three leading digits: to 354 two stay, to 949 one, above it becomes 10. */
function roundByThreeDigits(uncertainty: Decimal): Decimal {
  const leading = Number(roundToSignificant(uncertainty, 3, "half-even").digits);
  if (leading <= 354) return roundToSignificant(uncertainty, 2, "half-even");
  return roundAt(uncertainty, uncertainty.exponent + lengthOf(uncertainty.digits) - 1, "half-even");
}

function lengthOf(digits: bigint): number {
  return digits.toString().replace("-", "").length;
}

function write({ digits, exponent }: Decimal): string {
  if (exponent >= 0) return (digits * 10n ** BigInt(exponent)).toString();
  const text = (digits < 0n ? -digits : digits).toString().padStart(1 - exponent, "0");
  const sign = digits < 0n ? "-" : "";
  return `${sign}${text.slice(0, exponent)}.${text.slice(exponent)}`;
}

function notDecimal(field: string, found: number | string): Problem {
  return {
    code: "STAT_VALUE",
    message: `The ${field} cannot be rounded: it is no ${field === "value" ? "" : "positive "}finite decimal number.`,
    where: { field },
    found: String(found),
    expected: "a number such as 12.4",
  };
}
