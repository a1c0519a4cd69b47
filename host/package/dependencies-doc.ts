/** The tables of docs/dependencies.md: written by `npm run dependencies`, held by a test. */
import { bytesOf, type Library, libraries } from './dependencies.ts';
import { PURPOSES } from './purposes.ts';

/** @param doc  the page; what stands between its marks is written anew */
export function withTables(doc: string): string {
  const all = libraries();
  const direct = all.filter(({ isDirect }) => isDirect).toSorted((a, b) => (a.name < b.name ? -1 : 1));
  const tables = {
    shipped: libraryTable(direct.filter(({ isTool }) => !isTool)),
    developers: libraryTable(direct.filter(({ isTool }) => isTool)),
    licences: licenceTable(all),
  };
  return Object.entries(tables).reduce(
    (text, [name, table]) =>
      text.replace(new RegExp(`(<!-- ${name} -->\n)[^]*?(<!-- end -->)`), (_, from: string, to: string) => `${from}${table}${to}`),
    doc,
  );
}

function libraryTable(rows: readonly Library[]): string {
  const lines = rows.map((library) => {
    const { name, version, licence = '' } = library;
    return `| ${name} | ${version} | ${licence} | ${sizeText(bytesOf(library))} | ${PURPOSES[name] ?? ''} |`;
  });
  return ['| library | version | licence | size | what for |', '|---|---|---|---|---|', ...lines, ''].join('\n');
}

function licenceTable(all: readonly Library[]): string {
  const licences = [...new Set(all.map(({ licence }) => licence ?? 'unknown'))].toSorted();
  const count = (licence: string, isDev: boolean): number => all.filter((each) => each.licence === licence && each.isDev === isDev).length;
  const lines = licences.map((licence) => `| ${licence} | ${count(licence, false)} | ${count(licence, true)} |`);
  return ['| licence | installed with the package | developers only |', '|---|---|---|', ...lines, ''].join('\n');
}

/** Two digits: enough to judge by. */
function sizeText(bytes: number): string {
  const kB = Number((bytes / 1000).toPrecision(2));
  return kB >= 1000 ? `${kB / 1000} MB` : `${kB} kB`;
}
