/**
 * Univariate data of the NIST Statistical Reference Datasets (public domain), itl.nist.gov/div898/strd, with their
 * certified means, standard deviations and lag-1 autocorrelations. Sets with a rule are made by the rule.
 */
export type UnivariateSet = {
  readonly name: string;
  readonly values: readonly number[];
  readonly mean: number;
  readonly sd: number;
  readonly autocorrelation: number;
};

const lew = [
  -213, -564, -35, -15, 141, 115, -420, -360, 203, -338, -431, 194, -220, -513, 154, -125, -559, 92, -21,
  -579, -52, 99, -543, -175, 162, -457, -346, 204, -300, -474, 164, -107, -572, -8, 83, -541, -224, 180, -420,
  -374, 201, -236, -531, 83, 27, -564, -112, 131, -507, -254, 199, -311, -495, 143, -46, -579, -90, 136, -472,
  -338, 202, -287, -477, 169, -124, -568, 17, 48, -568, -135, 162, -430, -422, 172, -74, -577, -13, 92, -534,
  -243, 194, -355, -465, 156, -81, -578, -64, 139, -449, -384, 193, -198, -538, 110, -44, -577, -6, 66, -552,
  -164, 161, -460, -344, 205, -281, -504, 134, -28, -576, -118, 156, -437, -381, 200, -220, -540, 83, 11,
  -568, -160, 172, -414, -408, 188, -125, -572, -32, 139, -492, -321, 205, -262, -504, 142, -83, -574, 0, 48,
  -571, -106, 137, -501, -266, 190, -391, -406, 194, -186, -553, 83, -13, -577, -49, 103, -515, -280, 201,
  300, -506, 131, -45, -578, -80, 138, -462, -361, 201, -211, -554, 32, 74, -533, -235, 187, -372, -442, 182,
  -147, -566, 25, 68, -535, -244, 194, -351, -463, 174, -125, -570, 15, 72, -550, -190, 172, -424, -385, 198,
  -218, -536, 96,
];

const mavro = [
  2.0018, 2.0017, 2.0018, 2.0019, 2.0018, 2.0017, 2.0015, 2.0014, 2.0015, 2.0015, 2.0017, 2.0018, 2.0018,
  2.0019, 2.0019, 2.0021, 2.002, 2.0016, 2.0014, 2.0013, 2.0013, 2.0015, 2.0015, 2.0016, 2.0015, 2.0014,
  2.0013, 2.0014, 2.0015, 2.0014, 2.0015, 2.0016, 2.0015, 2.0016, 2.0019, 2.002, 2.002, 2.0021, 2.0022,
  2.0023, 2.0024, 2.0025, 2.0027, 2.0026, 2.0026, 2.0026, 2.0027, 2.0026, 2.0025, 2.0024,
];

/** A first value, then two values in turn, as NumAcc2 to NumAcc4 are made. */
function numAcc(first: number, second: number, third: number): number[] {
  return Array.from({ length: 1001 }, (_, i) => (i === 0 ? first : i % 2 === 1 ? second : third));
}

/** The first digits of π by Gibbons' spigot (Amer. Math. Monthly 113, 2006), in whole numbers. */
function piDigits(count: number): number[] {
  const digits: number[] = [];
  let [q, r, t, k, m, x] = [1n, 0n, 1n, 1n, 3n, 3n];
  while (digits.length < count) {
    if (4n * q + r - t < m * t) {
      digits.push(Number(m));
      [q, r, m] = [10n * q, 10n * (r - m * t), (10n * (3n * q + r)) / t - 10n * m];
    } else {
      [q, r, t, k, m, x] = [
        q * k,
        (2n * q + r) * x,
        t * x,
        k + 1n,
        (q * (7n * k + 2n) + r * x) / (t * x),
        x + 2n,
      ];
    }
  }
  return digits;
}

/** NIST's set of digits, in which the 957th is a 3 where π has an 8. */
const piDigitsOfNist = piDigits(5000).map((digit, i) => (i === 956 ? 3 : digit));

export const univariateSets: readonly UnivariateSet[] = [
  {
    name: "PiDigits",
    values: piDigitsOfNist,
    mean: 4.5348,
    sd: 2.86733906028871,
    autocorrelation: -0.00355099287237972,
  },
  { name: "Lew", values: lew, mean: -177.435, sd: 277.332168044316, autocorrelation: -0.307304800605679 },
  {
    name: "Mavro",
    values: mavro,
    mean: 2.001856,
    sd: 0.000429123454003053,
    autocorrelation: 0.937989183438248,
  },
  { name: "NumAcc1", values: [10000001, 10000003, 10000002], mean: 10000002, sd: 1, autocorrelation: -0.5 },
  { name: "NumAcc2", values: numAcc(1.2, 1.1, 1.3), mean: 1.2, sd: 0.1, autocorrelation: -0.999 },
  {
    name: "NumAcc3",
    values: numAcc(1000000.2, 1000000.1, 1000000.3),
    mean: 1000000.2,
    sd: 0.1,
    autocorrelation: -0.999,
  },
  {
    name: "NumAcc4",
    values: numAcc(10000000.2, 10000000.1, 10000000.3),
    mean: 10000000.2,
    sd: 0.1,
    autocorrelation: -0.999,
  },
];
