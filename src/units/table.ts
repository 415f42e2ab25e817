/**
 * Every unit that is known, by what it measures. Factors are those of NIST SP 811 (2008), Appendix B, written by their
 * exact definitions: 1 in = 0.0254 m, 1 lb = 0.453 592 37 kg, standard gravity = 9.806 65 m/s².
 */
export const dimensions = [
  "force",
  "length",
  "mass",
  "mass per length",
  "temperature",
  "speed",
  "energy",
  "torque",
  "pressure",
  "time",
  "area",
  "volume",
  "acceleration",
  "force per length",
  "tenacity",
  "density",
  "power",
  "angle",
] as const;
export type Dimension = (typeof dimensions)[number];

/** A unit: value in SI = (value + offset) × factor. Only temperatures have an offset. */
export type Unit = {
  readonly symbol: string;
  readonly dimension: Dimension;
  readonly factor: number;
  readonly offset: number;
  /** Other spellings that can mean nothing else. Symbols and spellings are case-sensitive. */
  readonly aliases: readonly string[];
};

type Row = readonly [symbol: string, factor: number, aliases?: string];

const gravity = 9.80665; // m/s², standard value, SP 811 B.8
const pound = 0.45359237; // kg, exact since 1959
const poundForce = pound * gravity; // 4.448 221 615 260 5 N
const inch = 0.0254; // m
const foot = 0.3048; // m
const squareInch = inch * inch;

const force: Row[] = [
  ["N", 1, "newton|newtons"],
  ["kN", 1e3, "kilonewton|kilonewtons"],
  ["daN", 10, "decanewton|decanewtons"],
  ["MN", 1e6, "meganewton|meganewtons"],
  ["mN", 1e-3, "millinewton|millinewtons"],
  ["cN", 1e-2, "centinewton|centinewtons"],
  ["dyn", 1e-5, "dyne|dynes"],
  ["gf", gravity / 1e3, "gram-force|grams-force|pond"],
  ["kgf", gravity, "kilogram-force|kilograms-force|kp|kilopond"],
  ["tf", gravity * 1e3, "tonne-force|metric ton-force|tonnes-force"],
  ["ozf", poundForce / 16, "ounce-force"],
  ["lbf", poundForce, "pound-force|pounds-force"],
  ["kip", poundForce * 1e3, "kips|klbf"],
  ["short ton-force", poundForce * 2e3, "ton-force|tonf"],
  ["long ton-force", poundForce * 2240],
  ["pdl", pound * foot, "poundal"],
];

const length: Row[] = [
  ["m", 1, "metre|metres|meter|meters"],
  ["mm", 1e-3, "millimetre|millimetres|millimeter|millimeters"],
  ["cm", 1e-2, "centimetre|centimetres|centimeter|centimeters"],
  ["dm", 1e-1],
  ["um", 1e-6, "µm|μm|micrometre|micrometer|micron"],
  ["nm", 1e-9],
  ["km", 1e3, "kilometre|kilometres|kilometer|kilometers"],
  ["in", inch, 'inch|inches|″|"'],
  ["ft", foot, "foot|feet|international foot|international ft|′|'"],
  ["yd", foot * 3, "yard|yards"],
  ["fathom", foot * 6, "fathoms"],
  ["mile", foot * 5280, "mi|miles|statute mile|international mile"],
  ["nautical mile", 1852, "nautical miles|nmi|NM"],
  ["cable", 185.2, "cable length"],
  ["mil", inch / 1e3, "thou|mils"],
  ["rod", foot * 16.5],
  ["chain", foot * 66],
];

const mass: Row[] = [
  ["kg", 1, "kilogram|kilograms|kgs"],
  ["g", 1e-3, "gram|grams"],
  ["mg", 1e-6, "milligram|milligrams"],
  ["ug", 1e-9, "µg|μg"],
  ["t", 1e3, "tonne|tonnes|metric ton"],
  ["lb", pound, "pound|pounds|lbs|lbm"],
  ["oz", pound / 16, "ounce|ounces"],
  ["gr", pound / 7000, "grain|grains"],
  ["slug", poundForce / foot, "slugs"],
  ["short ton", pound * 2000, "short tons"],
  ["long ton", pound * 2240, "long tons"],
  ["stone", pound * 14],
  ["cwt", pound * 112, "long hundredweight"],
  ["short hundredweight", pound * 100],
  ["carat", 2e-4, "metric carat"],
];

const massPerLength: Row[] = [
  ["kg/m", 1],
  ["g/m", 1e-3],
  ["mg/m", 1e-6],
  ["kg/km", 1e-3],
  ["g/km", 1e-6],
  ["kg/100m", 1e-2, "kg/100 m"],
  ["tex", 1e-6],
  ["dtex", 1e-7],
  ["ktex", 1e-3],
  ["mtex", 1e-9],
  ["denier", 1e-3 / 9000, "den"],
  ["lb/ft", pound / foot],
  ["lb/in", pound / inch],
  ["lb/yd", pound / (3 * foot)],
  ["lb/100ft", pound / (100 * foot), "lb/100 ft|lbs/100ft|lbs/100 ft"],
  ["oz/yd", pound / 16 / (3 * foot)],
];

const speed: Row[] = [
  ["m/s", 1],
  ["mm/s", 1e-3],
  ["cm/s", 1e-2],
  ["m/min", 1 / 60],
  ["mm/min", 1e-3 / 60],
  ["km/h", 1 / 3.6, "kph"],
  ["m/h", 1 / 3600],
  ["in/s", inch],
  ["in/min", inch / 60],
  ["ft/s", foot],
  ["ft/min", foot / 60],
  ["ft/h", foot / 3600],
  ["mph", (foot * 5280) / 3600, "mile/h|mi/h"],
  ["knot", 1852 / 3600, "knots|kn|kt|nautical mile/h"],
];

const energy: Row[] = [
  ["J", 1, "joule|joules"],
  ["kJ", 1e3],
  ["MJ", 1e6],
  ["mJ", 1e-3],
  ["erg", 1e-7],
  ["W h", 3600, "Wh"],
  ["kW h", 3.6e6, "kWh"],
  ["cal", 4.184, "calth"],
  ["kcal", 4184],
  ["Btu", 1055.05585262, "BtuIT"],
  ["ft lbf", foot * poundForce, "ft·lbf|foot pound-force"],
  ["in lbf", inch * poundForce, "in·lbf"],
  ["ft pdl", foot * foot * pound, "foot poundal"],
];

const torque: Row[] = [
  ["N m", 1, "Nm|N·m"],
  ["kN m", 1e3, "kNm|kN·m"],
  ["N mm", 1e-3, "Nmm|N·mm"],
  ["N cm", 1e-2, "Ncm|N·cm"],
  ["kgf m", gravity, "kgf·m"],
  ["kgf cm", gravity / 100, "kgf·cm"],
  ["lbf ft", poundForce * foot, "lbf·ft"],
  ["lbf in", poundForce * inch, "lbf·in"],
  ["ozf in", (poundForce / 16) * inch, "ozf·in"],
];

const pressure: Row[] = [
  ["Pa", 1, "N/m2|N/m²"],
  ["hPa", 100],
  ["kPa", 1e3],
  ["MPa", 1e6, "N/mm2|N/mm²"],
  ["GPa", 1e9],
  ["bar", 1e5],
  ["mbar", 100],
  ["atm", 101325],
  ["at", gravity * 1e4, "kgf/cm2|kgf/cm²"],
  ["kgf/mm2", gravity * 1e6, "kgf/mm²"],
  ["kgf/m2", gravity, "kgf/m²"],
  ["gf/cm2", gravity * 10, "gf/cm²"],
  ["dyn/cm2", 0.1, "dyn/cm²"],
  ["psi", poundForce / squareInch, "lbf/in2|lbf/in²"],
  ["ksi", (poundForce * 1e3) / squareInch, "kip/in2|kip/in²"],
  ["lbf/ft2", poundForce / (foot * foot), "lbf/ft²|psf"],
  ["torr", 101325 / 760, "Torr"],
  ["mmHg", 133.3224],
  ["inHg", 3386.389],
];

const time: Row[] = [
  ["s", 1, "sec|second|seconds"],
  ["ms", 1e-3, "millisecond|milliseconds"],
  ["us", 1e-6, "µs|μs|microsecond|microseconds"],
  ["min", 60, "minute|minutes"],
  ["h", 3600, "hour|hours"],
  ["d", 86400, "day|days"],
];

const area: Row[] = [
  ["m2", 1, "m²"],
  ["cm2", 1e-4, "cm²"],
  ["mm2", 1e-6, "mm²"],
  ["in2", squareInch, "in²"],
  ["ft2", foot * foot, "ft²"],
  ["yd2", 9 * foot * foot, "yd²"],
];

const volume: Row[] = [
  ["m3", 1, "m³"],
  ["L", 1e-3, "l|litre|litres|liter|liters"],
  ["mL", 1e-6, "ml|cm3|cm³"],
  ["mm3", 1e-9, "mm³"],
  ["in3", squareInch * inch, "in³"],
  ["ft3", foot * foot * foot, "ft³"],
  ["US gal", squareInch * inch * 231, "US gallon"],
  ["imperial gal", 4.54609e-3, "imperial gallon"],
];

const acceleration: Row[] = [
  ["m/s2", 1, "m/s²"],
  ["standard gravity", gravity, "gn|g_n"],
  ["ft/s2", foot, "ft/s²"],
  ["in/s2", inch, "in/s²"],
  ["Gal", 1e-2],
];

const forcePerLength: Row[] = [
  ["N/m", 1],
  ["kN/m", 1e3],
  ["N/mm", 1e3],
  ["kN/mm", 1e6],
  ["mN/m", 1e-3],
  ["dyn/cm", 1e-3],
  ["kgf/m", gravity],
  ["lbf/ft", poundForce / foot],
  ["lbf/in", poundForce / inch],
  ["kip/ft", (poundForce * 1e3) / foot],
];

const tenacity: Row[] = [
  ["N/tex", 1e6],
  ["cN/tex", 1e4],
  ["mN/tex", 1e3],
  ["cN/dtex", 1e5],
  ["gf/denier", (gravity / 1e3) * 9e6, "gf/den"],
  ["gf/tex", (gravity / 1e3) * 1e6],
];

const density: Row[] = [
  ["kg/m3", 1, "kg/m³"],
  ["g/cm3", 1e3, "g/cm³"],
  ["lb/ft3", pound / (foot * foot * foot), "lb/ft³"],
  ["lb/in3", pound / (squareInch * inch), "lb/in³"],
];

const power: Row[] = [
  ["W", 1, "watt|watts"],
  ["kW", 1e3],
  ["ft lbf/s", foot * poundForce],
  ["hp", 550 * foot * poundForce, "horsepower"],
  ["metric horsepower", 75 * gravity],
];

const angle: Row[] = [
  ["rad", 1],
  ["deg", Math.PI / 180, "°|degree|degrees"],
];

const temperature: Unit[] = [
  { symbol: "K", dimension: "temperature", factor: 1, offset: 0, aliases: ["kelvin"] },
  { symbol: "degC", dimension: "temperature", factor: 1, offset: 273.15, aliases: ["°C", "C", "celsius"] },
  {
    symbol: "degF",
    dimension: "temperature",
    factor: 5 / 9,
    offset: 459.67,
    aliases: ["°F", "F", "fahrenheit"],
  },
  { symbol: "degR", dimension: "temperature", factor: 5 / 9, offset: 0, aliases: ["°R"] },
];

const rows: Record<Exclude<Dimension, "temperature">, readonly Row[]> = {
  force,
  length,
  mass,
  "mass per length": massPerLength,
  speed,
  energy,
  torque,
  pressure,
  time,
  area,
  volume,
  acceleration,
  "force per length": forcePerLength,
  tenacity,
  density,
  power,
  angle,
};

/** The table, dimension by dimension. */
export const units: readonly Unit[] = dimensions.flatMap((dimension) =>
  dimension === "temperature"
    ? temperature
    : rows[dimension].map(([symbol, factor, aliases]) => ({
        symbol,
        dimension,
        factor,
        offset: 0,
        aliases: aliases === undefined ? [] : aliases.split("|"),
      })),
);
