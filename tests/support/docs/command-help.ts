/** What each command says of itself by `--help`, taken apart. */
import type { BlockRunner } from './block-runner.ts';

export interface HelpRow {
  /** As `--pace <n>` or `<rig>`. */
  readonly term: string;
  readonly text: string;
}

export interface CommandHelp {
  readonly name: string;
  readonly usage: string;
  readonly text: string;
  readonly arguments: readonly HelpRow[];
  readonly options: readonly HelpRow[];
}

/** Of every command but `help`, in the order in which the program lists them. */
export async function commandHelps(runner: BlockRunner, cwd: string): Promise<readonly CommandHelp[]> {
  const { stdout } = await runner.command(['--help'], cwd);
  const names = rowsOf(stdout, 'Commands').map(({ term }) => term.split(/[ |]/)[0] ?? '');
  const helps: CommandHelp[] = [];
  for (const name of names.filter((other) => other !== 'help'))
    helps.push(helpOf(name, (await runner.command([name, '--help'], cwd)).stdout));
  return helps;
}

function helpOf(name: string, said: string): CommandHelp {
  const [, usage = '', text = ''] = /^Usage: postern (.*)\n\n([\s\S]*?)\n\n/.exec(said) ?? [];
  return {
    name,
    usage: usage.replace(' [options]', ''),
    text: text.replaceAll('\n', ' '),
    arguments: rowsOf(said, 'Arguments'),
    options: rowsOf(said, 'Options').filter(({ term }) => !term.includes('--help')),
  };
}

/** Of one part: a term, two spaces, its text, which may go on below itself. */
function rowsOf(said: string, part: string): readonly HelpRow[] {
  const lines = said.split('\n');
  const from = lines.indexOf(`${part}:`) + 1;
  if (from === 0) return [];
  const until = lines.indexOf('', from);
  const rows: HelpRow[] = [];
  for (const line of lines.slice(from, until < 0 ? undefined : until)) {
    const [, term, text = ''] = /^ {2}(\S.*?)(?: {2,}(.*))?$/.exec(line) ?? [];
    const last = rows.at(-1);
    if (term !== undefined) rows.push({ term, text });
    else if (last) rows[rows.length - 1] = { ...last, text: `${last.text} ${line.trim()}` };
  }
  return rows;
}

/** `--pace` of `--pace <n>`, `--version` of `-V, --version`. */
export const longOption = ({ term }: HelpRow): string => /--[a-z][a-z-]*/.exec(term)?.[0] ?? term;
