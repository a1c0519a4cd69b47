/**
 * All that a store holds, table by table, every column, in an order of its own: what two equal stores share to the last
 * digit. Blocks are numbered as they come, whichever session's; counts are compared as the samples that they are.
 */
import { DuckDBInstance } from '@duckdb/node-api';
import { TABLES } from '../../host/store/schema.ts';

export type StoreRows = Readonly<Record<string, readonly string[]>>;

/** @param path  of a store that nobody has open */
export async function storeRows(path: string): Promise<StoreRows> {
  const instance = await DuckDBInstance.create(path, { access_mode: 'READ_ONLY' });
  try {
    const connection = await instance.connect();
    const rows: Record<string, readonly string[]> = {};
    for (const table of [...TABLES, 'samples', 'meta']) {
      const which = table === 'sample_blocks' ? '* EXCLUDE block' : '*';
      const found = await connection.runAndReadAll(`SELECT ${which} FROM ${table}`);
      rows[table] = found
        .getRowsJson()
        .map((row) => JSON.stringify(row))
        .sort();
    }
    connection.closeSync();
    return rows;
  } finally {
    instance.closeSync();
  }
}
