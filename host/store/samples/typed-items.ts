/**
 * The memory behind a column of a data chunk, to be filled or read as a whole: value by value takes ten times as long.
 * The library keeps it to itself, so what is found is checked before it is used.
 */
import type { DuckDBVector } from '@duckdb/node-api';

const itemsOf = (vector: DuckDBVector): unknown => (vector as unknown as { readonly items?: unknown }).items;

/** @throws TypeError where the library has changed (our bug: the version is pinned) */
export function int32Items(vector: DuckDBVector): Int32Array {
  const items = itemsOf(vector);
  if (!(items instanceof Int32Array)) throw new TypeError('a column of INTEGER is not what it was in the library');
  return items;
}

/** @throws TypeError as above */
export function bigInt64Items(vector: DuckDBVector): BigInt64Array {
  const items = itemsOf(vector);
  if (!(items instanceof BigInt64Array)) throw new TypeError('a column of BIGINT is not what it was in the library');
  return items;
}

/** @throws TypeError as above */
export function float64Items(vector: DuckDBVector): Float64Array {
  const items = itemsOf(vector);
  if (!(items instanceof Float64Array)) throw new TypeError('a column of DOUBLE is not what it was in the library');
  return items;
}
