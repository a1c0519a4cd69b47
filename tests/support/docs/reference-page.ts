/** docs/commands.md: every command with all its options, as the program itself has them. */
import type { CommandHelp, HelpRow } from './command-help.ts';

export const REFERENCE_PATH = 'docs/commands.md';

export const referencePage = (helps: readonly CommandHelp[]): string =>
  [
    '# Every command',
    '',
    'Written by `npm run docs` from what each command says by `--help`. On a clone it is `npm run postern -- COMMAND`; a word in <…> is yours, one in […] may be left out.',
    'Exit code 0 means that what was asked was done; what could not be done is one plain sentence on standard error.',
    ...helps.flatMap(sectionOf),
    '',
  ].join('\n');

const sectionOf = ({ name, usage, text, arguments: given, options }: CommandHelp): readonly string[] => [
  '',
  `## ${name}`,
  '',
  `\`postern ${usage}\`: ${text}.`,
  ...(given.length + options.length === 0 ? [] : ['', '| | |', '|---|---|', ...[...given, ...options].map(rowOf)]),
];

const rowOf = ({ term, text }: HelpRow): string => `| \`${term}\` | ${text.replaceAll('|', '\\|')} |`;
