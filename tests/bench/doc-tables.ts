/** What a section found, into its place in `docs/performance.md`: between `<!-- measured: NAME -->` and `<!-- /measured -->`. */
import type { Row } from './table.ts';

export interface Measured {
  readonly section: string;
  readonly rows: readonly Row[];
  /** Drawings that belong to it, by their place as seen from the page. */
  readonly pictures: readonly { readonly path: string; readonly title: string }[];
}

/**
 * @param by  the machine and when, told above each table
 * @throws Error where the page has no place for a section
 */
export function withTables(page: string, measured: readonly Measured[], by: string): string {
  return measured.reduce((text, { section, rows, pictures }) => {
    const place = new RegExp(`(<!-- measured: ${section} -->\n)[^]*?(<!-- /measured -->)`);
    if (!place.test(text)) throw new Error(`the page has no place for ${section}: <!-- measured: ${section} --> … <!-- /measured -->`);
    const table = rows.map(
      ({ what, wanted, found, reached }) => `| ${what} | ${wanted} | ${found}${reached || wanted === 'told' ? '' : ' (missed)'} |`,
    );
    const images = pictures.flatMap(({ path, title }) => ['', `![${title}](${path})`]);
    const lines = [`\`npm run bench -- --only ${section}\`. ${by}`, '', '| What | Wanted | Found |', '|---|---|---|', ...table, ...images];
    // As a function: nothing that was found is taken for a place of the pattern's.
    return text.replace(place, (_, from: string, to: string) => `${from}\n${lines.join('\n')}\n\n${to}`);
  }, page);
}
