import { describe, expect, it } from "vitest";
import { power } from "../planning/power.ts";
import { codeOf, disagreements, givenBy } from "../test-data/agree.ts";
import { compareMany } from "./compare-many.ts";

// F, Welch's F and H: R 4.2.2. Tukey and Games-Howell: mpmath and SciPy 1.17.1, since R's own studentized range is good to
// 1e-4 only.
const computed = [
  {
    input: {
      groups: [
        [51.62, 55.06, 53.2, 54.8],
        [55.32, 53.04, 52.6, 57.9],
        [50.7, 54.7, 52.46, 52.59],
      ],
    },
    expected: {
      anova: { f: 1.189011993966033, p: 0.34816931238453847 },
      welchAnova: { f: 0.988221074685024, df2: 5.845187427931032, p: 0.4268697637453189 },
      kruskalWallis: { h: 3.230769230769231, p: 0.19881418873807422 },
      tukey: [
        {
          i: 0,
          j: 1,
          difference: 1.045,
          lower: -2.761683190156831,
          upper: 4.851683190156831,
          p: 0.7317395509400895,
        },
        {
          i: 0,
          j: 2,
          difference: -1.0575,
          lower: -4.864183190156831,
          upper: 2.749183190156831,
          p: 0.7264562919838171,
        },
        {
          i: 1,
          j: 2,
          difference: -2.1025,
          lower: -5.909183190156831,
          upper: 1.704183190156831,
          p: 0.3179354410899869,
        },
      ],
      gamesHowell: [
        {
          i: 0,
          j: 1,
          difference: 1.045,
          lower: -3.634621054442936,
          upper: 5.724621054442936,
          p: 0.7639134307136581,
        },
        {
          i: 0,
          j: 2,
          difference: -1.0575,
          lower: -4.56456065790286,
          upper: 2.44956065790286,
          p: 0.6455891871962685,
        },
        {
          i: 1,
          j: 2,
          difference: -2.1025,
          lower: -6.795578942027596,
          upper: 2.590578942027596,
          p: 0.3913222962440677,
        },
      ],
    },
    relative: 1e-7,
    absolute: 1e-8,
  },
  {
    input: {
      groups: [
        [47.56, 51.33, 53.32, 52.51, 53.73],
        [52.43, 57.04, 55.63, 59.07, 55.8, 52.59, 49.16],
        [50.82, 51.26, 49.35, 52.38, 51.57, 51.24],
      ],
    },
    expected: {
      anova: { f: 3.396998799303513, p: 0.060695668992081994 },
      welchAnova: { f: 3.1001936182463252, df2: 7.724523187333938, p: 0.10269923238961608 },
      kruskalWallis: { h: 5.61436925647452, p: 0.06037473065396879 },
      tukey: [
        {
          i: 0,
          j: 1,
          difference: 2.8414285714285716,
          lower: -1.0155993595402988,
          upper: 6.698456502397442,
          p: 0.16911358496460616,
        },
        {
          i: 0,
          j: 2,
          difference: -0.5866666666666667,
          lower: -4.575371488899586,
          upper: 3.4020381555662524,
          p: 0.923104036873658,
        },
        {
          i: 1,
          j: 2,
          difference: -3.428095238095238,
          lower: -7.092835622104972,
          upper: 0.23664514591449543,
          p: 0.06839850202908111,
        },
      ],
      gamesHowell: [
        {
          i: 0,
          j: 1,
          difference: 2.8414285714285716,
          lower: -1.768800793668938,
          upper: 7.451657936526081,
          p: 0.25584488627052243,
        },
        {
          i: 0,
          j: 2,
          difference: -0.5866666666666667,
          lower: -4.415580856316613,
          upper: 3.242247522983279,
          p: 0.8765363375352326,
        },
        {
          i: 1,
          j: 2,
          difference: -3.428095238095238,
          lower: -7.300913012646277,
          upper: 0.4447225364558012,
          p: 0.07989154505845632,
        },
      ],
    },
    relative: 1e-7,
    absolute: 1e-8,
  },
  {
    input: {
      groups: [
        [52.61, 54.6, 54.62, 57.99, 54.83, 52.09, 58.54, 43.56],
        [57.23, 56.0, 54.57, 47.54, 48.02, 51.67, 59.91, 33.69],
        [52.9, 52.73, 49.21, 42.17, 50.26, 48.94, 44.81, 49.7],
        [54.45, 53.16, 57.07, 51.12, 57.57, 54.64, 54.76, 50.79],
      ],
    },
    expected: {
      anova: { f: 1.7755223006883858, p: 0.17469384550870454 },
      welchAnova: { f: 3.7631255067486484, df2: 14.64179388286762, p: 0.03458767271171037 },
      kruskalWallis: { h: 7.505681818181818, p: 0.05741264134858808 },
      tukey: [
        {
          i: 0,
          j: 1,
          difference: -2.52625,
          lower: -9.665317840304384,
          upper: 4.612817840304384,
          p: 0.7694976706854699,
        },
        {
          i: 0,
          j: 2,
          difference: -4.765,
          lower: -11.904067840304384,
          upper: 2.374067840304384,
          p: 0.2843772378887224,
        },
        {
          i: 0,
          j: 3,
          difference: 0.59,
          lower: -6.549067840304384,
          upper: 7.729067840304384,
          p: 0.9958525189897071,
        },
        {
          i: 1,
          j: 2,
          difference: -2.23875,
          lower: -9.377817840304385,
          upper: 4.900317840304384,
          p: 0.8270481527580527,
        },
        {
          i: 1,
          j: 3,
          difference: 3.11625,
          lower: -4.022817840304384,
          upper: 10.255317840304384,
          p: 0.6369438993641773,
        },
        {
          i: 2,
          j: 3,
          difference: 5.355,
          lower: -1.784067840304384,
          upper: 12.494067840304384,
          p: 0.19507099875213055,
        },
      ],
      gamesHowell: [
        {
          i: 0,
          j: 1,
          difference: -2.52625,
          lower: -12.600208329141827,
          upper: 7.547708329141828,
          p: 0.8729989102308848,
        },
        {
          i: 0,
          j: 2,
          difference: -4.765,
          lower: -10.903718920486341,
          upper: 1.3737189204863403,
          p: 0.15462964933663956,
        },
        {
          i: 0,
          j: 3,
          difference: 0.59,
          lower: -5.038055016217311,
          upper: 6.218055016217311,
          p: 0.9883149385623581,
        },
        {
          i: 1,
          j: 2,
          difference: -2.23875,
          lower: -12.074126969373985,
          upper: 7.596626969373985,
          p: 0.8945369297729389,
        },
        {
          i: 1,
          j: 3,
          difference: 3.11625,
          lower: -6.570988619286976,
          upper: 12.803488619286977,
          p: 0.7411325377519274,
        },
        {
          i: 2,
          j: 3,
          difference: 5.355,
          lower: 0.7122879318935464,
          upper: 9.997712068106454,
          p: 0.02250858393085001,
        },
      ],
    },
    relative: 1e-7,
    absolute: 1e-8,
  },
  {
    input: {
      groups: [
        [53.0, 52.0, 50.0, 49.0, 46.0, 49.0, 51.0, 47.0, 50.0, 51.0],
        [55.0, 49.0, 54.0, 51.0, 50.0, 50.0, 54.0, 53.0, 50.0, 51.0, 51.0, 49.0],
        [49.0, 50.0, 48.0, 53.0, 50.0, 50.0, 53.0, 56.0, 52.0],
      ],
    },
    expected: {
      anova: { f: 1.6346413686671175, p: 0.21308926292636166 },
      welchAnova: { f: 1.6794736597886792, df2: 17.47853263601629, p: 0.2152000859454604 },
      kruskalWallis: { h: 2.26112493090105, p: 0.3228516124651587 },
      tukey: [
        {
          i: 0,
          j: 1,
          difference: 1.6166666666666667,
          lower: -0.7359763636348755,
          upper: 3.969309696968209,
          p: 0.22281472223471852,
        },
        {
          i: 0,
          j: 2,
          difference: 1.4222222222222223,
          lower: -1.102367817494422,
          upper: 3.9468122619388666,
          p: 0.3576254908298212,
        },
        {
          i: 1,
          j: 2,
          difference: -0.19444444444444445,
          lower: -2.617331046056342,
          upper: 2.2284421571674526,
          p: 0.9785130773833154,
        },
      ],
      gamesHowell: [
        {
          i: 0,
          j: 1,
          difference: 1.6166666666666667,
          lower: -0.6807081113378234,
          upper: 3.9140414446711564,
          p: 0.20038894211230804,
        },
        {
          i: 0,
          j: 2,
          difference: 1.4222222222222223,
          lower: -1.3462189397289455,
          upper: 4.19066338417339,
          p: 0.4018598336801695,
        },
        {
          i: 1,
          j: 2,
          difference: -0.19444444444444445,
          lower: -2.840628381587883,
          upper: 2.451739492698994,
          p: 0.9802529463189312,
        },
      ],
    },
    relative: 1e-7,
    absolute: 1e-8,
  },
  {
    input: {
      groups: [
        [48.76, 51.75, 51.21],
        [55.8, 55.98, 55.1],
        [50.62, 50.18, 51.14],
      ],
    },
    expected: {
      anova: { f: 25.288146188450934, p: 0.0011927524053782417 },
      welchAnova: { f: 73.70999782966386, df2: 3.650356052949843, p: 0.0011193652881449879 },
      kruskalWallis: { h: 5.6, p: 0.060810062625217966 },
      tukey: [
        {
          i: 0,
          j: 1,
          difference: 5.053333333333334,
          lower: 2.5539081912316313,
          upper: 7.552758475435035,
          p: 0.001963753797409543,
        },
        {
          i: 0,
          j: 2,
          difference: 0.07333333333333333,
          lower: -2.4260918087683687,
          upper: 2.572758475435035,
          p: 0.9955452889393201,
        },
        {
          i: 1,
          j: 2,
          difference: -4.98,
          lower: -7.479425142101702,
          upper: -2.480574857898298,
          p: 0.0021198249950542115,
        },
      ],
      gamesHowell: [
        {
          i: 0,
          j: 1,
          difference: 5.053333333333334,
          lower: 0.20789319942033496,
          upper: 9.898773467246333,
          p: 0.0456559847318954,
        },
        {
          i: 0,
          j: 2,
          difference: 0.07333333333333333,
          lower: -4.743734203962895,
          upper: 4.890400870629563,
          p: 0.9967984204784176,
        },
        {
          i: 1,
          j: 2,
          difference: -4.98,
          lower: -6.356520066770418,
          upper: -3.6034799332295813,
          p: 0.0004673943758952087,
        },
      ],
    },
    relative: 1e-7,
    absolute: 1e-8,
  },
  {
    input: {
      groups: [
        [50.03, 48.85, 49.04, 49.65, 50.0, 50.11],
        [55.47, 53.91, 52.62, 56.33, 50.53],
        [51.34, 53.3, 50.79, 51.23, 50.62, 50.59, 51.98, 53.45, 48.66],
        [50.63, 49.39, 51.11, 49.87],
        [51.48, 53.17, 54.14, 50.81, 55.01, 52.55],
      ],
    },
    expected: {
      anova: { f: 7.435350623272864, p: 0.00043342436432620827 },
      welchAnova: { f: 8.60855859143791, df2: 10.583841337676281, p: 0.0023759597276740876 },
      kruskalWallis: { h: 16.668745519713262, p: 0.0022413673451096923 },
      tukey: [
        {
          i: 0,
          j: 1,
          difference: 4.158666666666667,
          lower: 1.5359831412942513,
          upper: 6.781350192039082,
          p: 0.0007932094919100508,
        },
        {
          i: 0,
          j: 2,
          difference: 1.7155555555555555,
          lower: -0.5671974464967247,
          upper: 3.9983085576078357,
          p: 0.2098390232670348,
        },
        {
          i: 0,
          j: 3,
          difference: 0.6366666666666667,
          lower: -2.159123365250617,
          upper: 3.4324566985839504,
          p: 0.9613132926965892,
        },
        {
          i: 0,
          j: 4,
          difference: 3.2466666666666666,
          lower: 0.7460360417933254,
          upper: 5.747297291540008,
          p: 0.00653180097919425,
        },
        {
          i: 1,
          j: 2,
          difference: -2.443111111111111,
          lower: -4.858949810317691,
          upper: -0.02727241190453094,
          p: 0.04652292295484617,
        },
        {
          i: 1,
          j: 3,
          difference: -3.522,
          lower: -6.427470229545209,
          upper: -0.6165297704547908,
          p: 0.012031079666258267,
        },
        {
          i: 1,
          j: 4,
          difference: -0.912,
          lower: -3.534683525372415,
          upper: 1.7106835253724153,
          p: 0.8431801932284206,
        },
        {
          i: 2,
          j: 3,
          difference: -1.0788888888888888,
          lower: -3.681627763400181,
          upper: 1.523849985622403,
          p: 0.7415468986412832,
        },
        {
          i: 2,
          j: 4,
          difference: 1.531111111111111,
          lower: -0.7516418909411691,
          upper: 3.8138641131633912,
          p: 0.30905899097703554,
        },
        {
          i: 3,
          j: 4,
          difference: 2.61,
          lower: -0.18579003191728374,
          upper: 5.405790031917284,
          p: 0.07562188766609797,
        },
      ],
      gamesHowell: [
        {
          i: 0,
          j: 1,
          difference: 4.158666666666667,
          lower: -0.3303198958651732,
          upper: 8.647653229198507,
          p: 0.06484122463250806,
        },
        {
          i: 0,
          j: 2,
          difference: 1.7155555555555555,
          lower: -0.027211646635775626,
          upper: 3.458322757746887,
          p: 0.05427226438885526,
        },
        {
          i: 0,
          j: 3,
          difference: 0.6366666666666667,
          lower: -1.141016413162945,
          upper: 2.414349746496278,
          p: 0.6349872652210214,
        },
        {
          i: 0,
          j: 4,
          difference: 3.2466666666666666,
          lower: 0.7028853709527294,
          upper: 5.790447962380604,
          p: 0.0166808523829263,
        },
        {
          i: 1,
          j: 2,
          difference: -2.443111111111111,
          lower: -6.761449067007896,
          upper: 1.875226844785674,
          p: 0.31593925899631753,
        },
        {
          i: 1,
          j: 3,
          difference: -3.522,
          lower: -7.917906313329823,
          upper: 0.8739063133298228,
          p: 0.10928174763007693,
        },
        {
          i: 1,
          j: 4,
          difference: -0.912,
          lower: -5.284886252971783,
          upper: 3.4608862529717834,
          p: 0.9374321877629239,
        },
        {
          i: 2,
          j: 3,
          difference: -1.0788888888888888,
          lower: -3.1122731032599535,
          upper: 0.9544953254821759,
          p: 0.45611071640778716,
        },
        {
          i: 2,
          j: 4,
          difference: 1.531111111111111,
          lower: -1.1265276858498592,
          upper: 4.188749908072081,
          p: 0.3809024155173686,
        },
        {
          i: 3,
          j: 4,
          difference: 2.61,
          lower: -0.025055644171647604,
          upper: 5.245055644171647,
          p: 0.05223398966190716,
        },
      ],
    },
    relative: 1e-7,
    absolute: 1e-8,
  },
] as const;

/** NIST StRD SiRstv: resistivity of silicon wafers. */
const siRstv = [
  [196.3052, 196.124, 196.189, 196.2569, 196.3403],
  [196.3042, 196.3825, 196.1669, 196.3257, 196.0422],
  [196.1303, 196.2005, 196.2889, 196.0343, 196.1811],
  [196.2795, 196.1748, 196.1494, 196.1485, 195.9885],
  [196.2119, 196.1051, 196.185, 196.0052, 196.209],
];

/** NIST StRD SmLs01 to SmLs09, by their rule: nine groups, each its centre and then a tenth below and above in turn. */
function simonLesage(perGroup: number, base: number): number[][] {
  // In tenths, so that each value is the decimal that NIST prints.
  const value = (tenths: number) => Number(`${base}.${tenths}`);
  return [4, 3, 5, 3, 5, 3, 5, 3, 5].map((centre) =>
    Array.from({ length: perGroup }, (_, i) =>
      value(i === 0 ? centre : i % 2 === 1 ? centre - 1 : centre + 1),
    ),
  );
}

describe("compareMany", () => {
  it.each(computed)("%#: as computed elsewhere", (row) => {
    expect(disagreements(givenBy(compareMany(row.input)), row.expected, row.relative)).toEqual([]);
  });

  it("NIST StRD SiRstv to 12 digits", () => {
    const expected = {
      anova: {
        dfBetween: 4,
        dfWithin: 20,
        ssBetween: 0.0511462616,
        ssWithin: 0.21663656,
        f: 1.18046237440255,
      },
      residualSd: 0.104076068334656,
      rSquared: 0.190999039051129,
    };
    expect(disagreements(givenBy(compareMany({ groups: siRstv })), expected, 1e-12)).toEqual([]);
  });

  // 21 and 189, 2001 and 18009 values about 1, 1e6 and 1e12. The certified figures are exact for the decimals.
  it.each([
    [21, 1],
    [21, 1e6],
    [21, 1e12],
    [2001, 1],
    [2001, 1e6],
    [2001, 1e12],
  ])("NIST StRD SmLs, %d values a group about %d, to 12 digits", (perGroup, base) => {
    const small = perGroup === 21;
    const expected = {
      anova: {
        dfBetween: 8,
        dfWithin: small ? 180 : 18000,
        ssBetween: small ? 1.68 : 160.08,
        ssWithin: small ? 1.8 : 180,
        f: small ? 21 : 2001,
      },
      residualSd: 0.1,
      rSquared: small ? 0.482758620689655 : 0.470712773465067,
    };
    expect(
      disagreements(givenBy(compareMany({ groups: simonLesage(perGroup, base) })), expected, 1e-12),
    ).toEqual([]);
  });

  it("as published: mucociliary efficiency, plant growth", () => {
    // Hollander and Wolfe (1973), p. 116: H = 0.77143; Dobson (1983), table 7.1: F = 4.846, p = 0.01591.
    const cilia = givenBy(
      compareMany({
        groups: [
          [2.9, 3.0, 2.5, 2.6, 3.2],
          [3.8, 2.7, 4.0, 2.4],
          [2.8, 3.4, 3.7, 2.2, 2.0],
        ],
      }),
    );
    expect(disagreements(cilia.kruskalWallis, { h: 0.77143, df: 2, p: 0.679965 }, 0, 6e-6)).toEqual([]);
    const plants = givenBy(
      compareMany({
        groups: [
          [4.17, 5.58, 5.18, 6.11, 4.5, 4.61, 5.17, 4.53, 5.33, 5.14],
          [4.81, 4.17, 4.41, 3.59, 5.87, 3.83, 6.03, 4.89, 4.32, 4.69],
          [6.31, 5.12, 5.54, 5.5, 5.37, 5.29, 4.92, 6.15, 5.8, 5.26],
        ],
      }),
    );
    expect(disagreements(plants.anova, { f: 4.846, dfBetween: 2, dfWithin: 27, p: 0.01591 }, 2e-4)).toEqual(
      [],
    );
  });

  it("as published: Tukey's intervals", () => {
    // NIST/SEMATECH e-Handbook 7.4.3.3 and 7.4.7.1; the handbook's pairs, second group less first.
    const groups = [
      [6.9, 5.4, 5.8, 4.6, 4.0],
      [8.3, 6.8, 7.8, 9.2, 6.5],
      [8.0, 10.5, 8.1, 6.9, 9.3],
      [5.8, 3.8, 6.1, 5.6, 6.2],
    ];
    const three = givenBy(compareMany({ groups: groups.slice(0, 3) }));
    const anova = {
      ssBetween: 27.897,
      ssWithin: 17.452,
      msBetween: 13.949,
      msWithin: 1.454,
      f: 9.59,
      dfBetween: 2,
      dfWithin: 12,
    };
    expect(disagreements(three.anova, anova, 0, 0.0012)).toEqual([]);
    const pairs = givenBy(compareMany({ groups })).tukey;
    const between = (i: number, j: number) => pairs.find((pair) => pair.i === i && pair.j === j);
    expect(disagreements(between(0, 1), { lower: 0.29, upper: 4.47 }, 0, 0.006)).toEqual([]);
    expect(disagreements(between(0, 2), { lower: 1.13, upper: 5.31 }, 0, 0.006)).toEqual([]);
    expect(disagreements(between(0, 3), { lower: -1.93, upper: 2.25 }, 0, 0.006)).toEqual([]);
    expect(disagreements(between(1, 2), { lower: -1.25, upper: 2.93 }, 0, 0.006)).toEqual([]);
    expect(disagreements(between(2, 3), { lower: -5.15, upper: -0.97 }, 0, 0.006)).toEqual([]);
    // SciPy's test suite, values that two commercial programs print; they differ by 4e-5.
    const five = givenBy(
      compareMany({
        groups: [
          [24.5, 23.5, 26.4, 27.1, 29.9],
          [28.4, 34.2, 29.5, 32.2, 30.1],
          [26.1, 28.3, 24.3, 26.2, 27.8],
        ],
      }),
    ).tukey;
    expect(
      disagreements(five[0], { difference: 4.6, lower: 0.9508830568, upper: 8.249116943 }, 0, 5e-5),
    ).toEqual([]);
    expect(
      disagreements(five[1], { difference: 0.26, lower: -3.389116943, upper: 3.909116943 }, 0, 5e-5),
    ).toEqual([]);
    expect(
      disagreements(five[2], { difference: -4.34, lower: -7.989116943, upper: -0.6908830568 }, 0, 5e-5),
    ).toEqual([]);
  });

  it("says how much of the scatter lies between the groups", () => {
    // By hand for F = 21, df 8 and 180: ω² = (1.68 − 8 · 0.01)/(3.48 + 0.01).
    const { effect } = givenBy(compareMany({ groups: simonLesage(21, 1) }));
    expect(effect.omegaSquared).toBeCloseTo(1.6 / 3.49, 12);
    expect(effect.interval?.[0]).toBeLessThan(effect.omegaSquared);
    expect(effect.interval?.[1]).toBeGreaterThan(effect.omegaSquared);
    // No difference at all: the interval begins at 0.
    expect(
      givenBy(
        compareMany({
          groups: [
            [1, 2, 3],
            [1, 2, 3],
          ],
        }),
      ).effect.interval,
    ).toEqual([0, 0]);
  });

  it("gives what there is, and refuses the rest", () => {
    const flat = givenBy(
      compareMany({
        groups: [
          [5, 5, 5],
          [4, 6, 5],
        ],
      }),
    );
    expect(flat.welchAnova).toBeUndefined();
    expect(flat.gamesHowell).toBeUndefined();
    expect(
      codeOf(
        compareMany({
          groups: [
            [5, 5],
            [6, 6],
          ],
        }),
      ),
    ).toBe("STAT_DEGENERATE");
    expect(codeOf(compareMany({ groups: [[5, 5]] }))).toBe("STAT_TOO_FEW");
    expect(codeOf(compareMany({ groups: [[5], [6, 7]] }))).toBe("STAT_TOO_FEW");
  });

  it("says what so few values can show", () => {
    const { canShow, residualSd } = givenBy(compareMany({ groups: siRstv }));
    const [low, high] = [-canShow.detectable / 2, canShow.detectable / 2];
    const found = power({ kind: "many", n: 5, means: [low, 0, 0, 0, high], sd: residualSd });
    expect(found.ok && found.value.power).toBeCloseTo(0.8, 9);
    expect(canShow.sentence).toMatch(/^With 5 groups of 5 values .* between two of the groups/);
  });

  it("does not hang where the groups stand far apart", () => {
    const far = givenBy(
      compareMany({
        groups: [
          [1, 1.0001],
          [5e6, 5e6 + 1],
          [3, 3.0001],
        ],
      }),
    );
    expect(far.effect.omegaSquared).toBeGreaterThan(0.999);
    expect(far.effect.interval).toBeUndefined();
  });
});
