import { symmetricEigen } from "../numeric/symmetric.ts";
import type { FixedPart } from "./fixed-part.ts";
import { bendOf, type Profile, profileOf, satterthwaite, slopeOf, type slopesOf } from "./profile.ts";

/** One way in which rows are grouped, with what differs from group to group: an intercept, and slopes of columns. */
export type RandomTerm = {
  readonly of: ArrayLike<number>;
  readonly groups: number;
  /** Of about size 1; the intercept's column of ones is the first. */
  readonly columns: readonly ArrayLike<number>[];
};

export type RandomEffects = {
  /** For each term the covariances of its columns' effects, over the residual variance. */
  readonly covariances: readonly (readonly (readonly number[])[])[];
  readonly profile: Profile;
  readonly df: (combinations: readonly (readonly number[])[]) => number[];
};

/**
 * Random effects of any number of groupings, nested or crossed, by penalised least squares: for relative covariances L Lᵀ of
 * each term, what is left of the response once the scaled random effects (with a penalty of 1 each) and the fixed ones are
 * eliminated, and the determinants on the way, give the restricted likelihood. Its least is found over the entries of the
 * L by Newton's method with exact second derivatives, from several beginnings. Nothing where no search comes to rest.
 * Source: D. Bates, M. Maechler, B. Bolker and S. Walker, J. Stat. Softw. 67(1) (2015), sections 3.4 and 3.5.
 */
export function fitRandomEffects(fixed: FixedPart, terms: readonly RandomTerm[]): RandomEffects | undefined {
  const layout = layOut(terms, fixed.columns.length + 1);
  const products = crossProducts(fixed, terms, layout);
  const freedom = fixed.response.length - fixed.columns.length;
  const at = (theta: readonly number[]) => {
    const matrix = penalised(products, layout, theta);
    const profile = profileOf(matrix, layout.size);
    if (profile === undefined || !(profile.squares > 0)) return undefined;
    return { theta, profile, criterion: profile.logDeterminant + freedom * Math.log(profile.squares) };
  };
  const derivatives = ({ theta, profile }: Found) => {
    const slopes = layout.parameters.map((one) => slopeOf(profile, firstOf(products, layout, theta, one)));
    const bends = layout.parameters.map((a, i) =>
      layout.parameters.map((b, j) =>
        bendOf(
          profile,
          slopes[i] as (typeof slopes)[0],
          slopes[j] as (typeof slopes)[0],
          secondOf(products, layout, a, b),
        ),
      ),
    );
    return { slopes, bends };
  };
  let best: Found | undefined;
  for (const beginning of [1, 0.1, 10]) {
    const found = descend(
      layout.parameters.map(({ a, b }) => (a === b ? beginning : 0)),
      at,
      derivatives,
      freedom,
    );
    if (found !== undefined && (best === undefined || found.criterion < best.criterion - 1e-9)) best = found;
  }
  if (best === undefined) return undefined;
  const { theta, profile } = best;
  const { slopes, bends } = derivatives(best);
  return {
    profile,
    covariances: terms.map(({ columns }, t) => {
      const lower = columns.map((_, a) => columns.map((_, b) => entry(layout, theta, t, a, b)));
      return lower.map((x) =>
        lower.map((y) => x.reduce((sum, value, i) => sum + value * (y[i] as number), 0)),
      );
    }),
    df: (combinations) => satterthwaite(profile, slopes, bends, freedom, combinations),
  };
}

type Found = { readonly theta: readonly number[]; readonly profile: Profile; readonly criterion: number };
type Derivatives = {
  readonly slopes: readonly ReturnType<typeof slopeOf>[];
  readonly bends: readonly (readonly ReturnType<typeof slopesOf>[])[];
};

/** Newton's method down a criterion; where it bends the other way the step goes by the size of the bend. */
function descend(
  from: readonly number[],
  at: (theta: readonly number[]) => Found | undefined,
  derivatives: (found: Found) => Derivatives,
  freedom: number,
): Found | undefined {
  let here = at(from);
  for (let round = 0; round < 200 && here !== undefined; round++) {
    const { slopes, bends } = derivatives(here);
    const { squares } = here.profile;
    const gradient = slopes.map((slope) => slope.logDeterminant + (freedom * slope.squares) / squares);
    if (Math.max(...here.theta.map(Math.abs)) > 1e7) return undefined;
    const { values, vectors } = symmetricEigen(
      bends.map((row, i) =>
        row.map(
          (bend, j) =>
            bend.logDeterminant +
            freedom *
              (bend.squares / squares -
                ((slopes[i] as Derivatives["slopes"][0]).squares *
                  (slopes[j] as Derivatives["slopes"][0]).squares) /
                  squares ** 2),
        ),
      ),
    );
    const least = 1e-8 * Math.max(...values.map(Math.abs), 1e-300);
    const step = gradient.map(() => 0);
    for (const [i, value] of values.entries()) {
      const vector = vectors[i] as readonly number[];
      const part = vector.reduce((sum, v, j) => sum + v * (gradient[j] as number), 0);
      for (const [j, v] of vector.entries())
        step[j] = (step[j] as number) - (v * part) / Math.max(Math.abs(value), least);
    }
    const length = Math.hypot(...step);
    // The criterion is flat to its last digit where a step no longer moves the parameters.
    if (length <= 1e-9 * Math.max(1, Math.hypot(...here.theta))) return here;
    const reach = Math.min(1, (2 * (1 + Math.hypot(...here.theta))) / length);
    let next: Found | undefined;
    for (let part: number = reach; part > 1e-10; part /= 2) {
      const tried = at(here.theta.map((value, i) => value + part * (step[i] as number)));
      if (tried !== undefined && tried.criterion < here.criterion) {
        next = tried;
        break;
      }
    }
    if (next === undefined) return Math.max(...gradient.map(Math.abs)) < 1e-4 ? here : undefined;
    here = next;
  }
  return undefined;
}

type Parameter = { readonly term: number; readonly a: number; readonly b: number };
type Layout = {
  readonly size: number;
  readonly terms: readonly { readonly from: number; readonly width: number; readonly groups: number }[];
  readonly parameters: readonly Parameter[];
  readonly random: number;
};

function layOut(terms: readonly RandomTerm[], others: number): Layout {
  let from = 0;
  const placed = terms.map(({ groups, columns }) => {
    const own = { from, width: columns.length, groups };
    from += groups * columns.length;
    return own;
  });
  const parameters = terms.flatMap(({ columns }, term) =>
    columns.flatMap((_, a) => Array.from({ length: a + 1 }, (_, b) => ({ term, a, b }))),
  );
  return { size: from + others, random: from, terms: placed, parameters };
}

function entry({ parameters }: Layout, theta: readonly number[], term: number, a: number, b: number): number {
  const at = parameters.findIndex((one) => one.term === term && one.a === a && one.b === b);
  return at < 0 ? 0 : (theta[at] as number);
}

/** Of random columns, orthonormal fixed ones and the response: each row touches but a few. */
function crossProducts(
  fixed: FixedPart,
  terms: readonly RandomTerm[],
  { size, random }: Layout,
): Float64Array {
  const more = [...fixed.columns, fixed.response];
  const products = new Float64Array(size * size);
  const touched = terms.reduce((total, { columns }) => total + columns.length, more.length);
  const places = new Int32Array(touched);
  const values = new Float64Array(touched);
  for (let i = 0; i < fixed.response.length; i++) {
    let k = 0;
    let from = 0;
    for (const { of, groups, columns } of terms) {
      for (const [a, column] of columns.entries()) {
        places[k] = from + (of[i] as number) * columns.length + a;
        values[k++] = column[i] as number;
      }
      from += groups * columns.length;
    }
    for (const [j, column] of more.entries()) {
      places[k] = random + j;
      values[k++] = column[i] as number;
    }
    for (let x = 0; x < touched; x++)
      for (let y = 0; y < touched; y++) {
        const place = (places[x] as number) * size + (places[y] as number);
        products[place] = (products[place] as number) + (values[x] as number) * (values[y] as number);
      }
  }
  return products;
}

/** The products with their columns of random effects turned by the L of their term. */
function turnedRight(products: Float64Array, layout: Layout, theta: readonly number[]): Float64Array {
  const { size, random } = layout;
  const out = products.slice();
  for (let i = 0; i < size; i++) out.fill(0, i * size, i * size + random);
  for (const [k, { term, a, b }] of layout.parameters.entries()) {
    const value = theta[k] as number;
    if (value === 0) continue;
    const { from, width, groups } = layout.terms[term] as Layout["terms"][0];
    for (let i = 0; i < size; i++)
      for (let g = 0; g < groups; g++) {
        const place = i * size + from + g * width;
        out[place + b] = (out[place + b] as number) + value * (products[place + a] as number);
      }
  }
  return out;
}

/** Tᵀ G T with a penalty of 1 for each random effect, T turning the random columns by L. */
function penalised(products: Float64Array, layout: Layout, theta: readonly number[]): Float64Array {
  const { size, random } = layout;
  const right = turnedRight(products, layout, theta);
  const out = right.slice();
  out.fill(0, 0, random * size);
  for (const [k, { term, a, b }] of layout.parameters.entries()) {
    const value = theta[k] as number;
    if (value === 0) continue;
    const { from, width, groups } = layout.terms[term] as Layout["terms"][0];
    for (let g = 0; g < groups; g++) {
      const [to, of] = [(from + g * width + b) * size, (from + g * width + a) * size];
      for (let j = 0; j < size; j++)
        out[to + j] = (out[to + j] as number) + value * (right[of + j] as number);
    }
  }
  for (let i = 0; i < random; i++) out[i * size + i] = (out[i * size + i] as number) + 1;
  return out;
}

/** Its derivative along one entry of an L. */
function firstOf(
  products: Float64Array,
  layout: Layout,
  theta: readonly number[],
  { term, a, b }: Parameter,
): Float64Array {
  const { size } = layout;
  const right = turnedRight(products, layout, theta);
  const out = new Float64Array(size * size);
  const { from, width, groups } = layout.terms[term] as Layout["terms"][0];
  for (let g = 0; g < groups; g++) {
    const [to, of] = [from + g * width + b, from + g * width + a];
    for (let j = 0; j < size; j++) {
      const value = right[of * size + j] as number;
      out[to * size + j] = (out[to * size + j] as number) + value;
      out[j * size + to] = (out[j * size + to] as number) + value;
    }
  }
  return out;
}

/** Its second derivative along two of them, which no longer depends on their values. */
function secondOf(products: Float64Array, layout: Layout, x: Parameter, y: Parameter): Float64Array {
  const { size } = layout;
  const out = new Float64Array(size * size);
  const [p, q] = [layout.terms[x.term] as Layout["terms"][0], layout.terms[y.term] as Layout["terms"][0]];
  for (let g = 0; g < p.groups; g++)
    for (let h = 0; h < q.groups; h++) {
      const value = products[(p.from + g * p.width + x.a) * size + q.from + h * q.width + y.a] as number;
      const [row, column] = [p.from + g * p.width + x.b, q.from + h * q.width + y.b];
      out[row * size + column] = (out[row * size + column] as number) + value;
      out[column * size + row] = (out[column * size + row] as number) + value;
    }
  return out;
}
