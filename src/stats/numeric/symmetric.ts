type Matrix = readonly (readonly number[])[];

/**
 * The Cholesky factor of a symmetric positive matrix, lower triangle; or the number of the first row that depends on
 * those before it, where a pivot is lost against the row's own size.
 */
export function cholesky(matrix: Matrix): number[][] | number {
  const factor: number[][] = [];
  for (const [i, row] of matrix.entries()) {
    const own: number[] = [];
    for (let j = 0; j < i; j++) {
      const other = factor[j] as number[];
      let value = row[j] as number;
      for (let k = 0; k < j; k++) value -= (own[k] as number) * (other[k] as number);
      own.push(value / (other[j] as number));
    }
    const pivot = own.reduce((left, value) => left - value * value, row[i] as number);
    if (!(pivot > 1e-11 * (row[i] as number))) return i;
    own.push(Math.sqrt(pivot));
    factor.push(own);
  }
  return factor;
}

/** The solution of matrix · x = right, by the matrix's Cholesky factor. */
export function solveByFactor(factor: Matrix, right: readonly number[]): number[] {
  const x = [...right];
  for (const [i, row] of factor.entries()) {
    for (let k = 0; k < i; k++) x[i] = (x[i] as number) - (row[k] as number) * (x[k] as number);
    x[i] = (x[i] as number) / (row[i] as number);
  }
  for (let i = factor.length - 1; i >= 0; i--) {
    for (let k = i + 1; k < factor.length; k++)
      x[i] = (x[i] as number) - (factor[k]?.[i] as number) * (x[k] as number);
    x[i] = (x[i] as number) / (factor[i]?.[i] as number);
  }
  return x;
}

/**
 * Eigenvalues of a symmetric matrix, and its eigenvectors one by one. Method: Jacobi's cyclic rotations; source: G. H.
 * Golub and C. F. Van Loan, Matrix Computations, 8.5 (from memory).
 */
export function symmetricEigen(matrix: Matrix): { values: number[]; vectors: number[][] } {
  const n = matrix.length;
  const a = matrix.map((row) => [...row]);
  // Vector by vector, so that turning two of them turns two rows.
  const vectors = a.map((_, i) => a.map((_, j) => (i === j ? 1 : 0)));
  const at = (i: number, j: number) => (a[i] as number[])[j] as number;
  let squares = 0;
  for (let i = 0; i < n; i++) for (let j = 0; j < n; j++) squares += at(i, j) * at(i, j);
  const size = Math.sqrt(squares);
  for (let sweep = 0; sweep < 60; sweep++) {
    let off = 0;
    for (let i = 0; i < n; i++) for (let j = 0; j < i; j++) off += at(i, j) * at(i, j);
    if (Math.sqrt(off) <= 1e-15 * size) break;
    for (let p = 0; p < n; p++)
      for (let q = p + 1; q < n; q++) {
        if (at(p, q) === 0) continue;
        const theta = (at(q, q) - at(p, p)) / (2 * at(p, q));
        const t = (theta >= 0 ? 1 : -1) / (Math.abs(theta) + Math.hypot(theta, 1));
        const c = 1 / Math.hypot(t, 1);
        turnRows(a, p, q, c, t * c);
        for (let k = 0; k < n; k++) turnPair(a[k] as number[], p, q, c, t * c);
        turnRows(vectors, p, q, c, t * c);
      }
  }
  return { values: a.map((_, i) => at(i, i)), vectors };
}

function turnRows(rows: number[][], p: number, q: number, c: number, s: number): void {
  const [rowP, rowQ] = [rows[p] as number[], rows[q] as number[]];
  for (let k = 0; k < rowP.length; k++) {
    const [x, y] = [rowP[k] as number, rowQ[k] as number];
    rowP[k] = c * x - s * y;
    rowQ[k] = s * x + c * y;
  }
}

function turnPair(row: number[], p: number, q: number, c: number, s: number): void {
  const [x, y] = [row[p] as number, row[q] as number];
  row[p] = c * x - s * y;
  row[q] = s * x + c * y;
}
