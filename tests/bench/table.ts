/** What a check prints: a row a question, what was wanted, what was found, and whether that is reached. */
export interface Row {
  readonly what: string;
  readonly wanted: string;
  readonly found: string;
  readonly reached: boolean;
}

/** Prints each row as it is found; the exit code is 1 where one is not reached. */
export async function printTable(rows: Iterable<Row> | AsyncIterable<Row>): Promise<void> {
  console.log('| What | Wanted | Found | |\n|---|---|---|---|');
  let missed = 0;
  for await (const { what, wanted, found, reached } of rows) {
    if (!reached) missed += 1;
    console.log(`| ${what} | ${wanted} | ${found} | ${reached ? 'reached' : 'MISSED'} |`);
  }
  console.log(`\n${missed === 0 ? 'All reached.' : `${missed} not reached.`}`);
  process.exitCode = missed === 0 ? 0 : 1;
}
