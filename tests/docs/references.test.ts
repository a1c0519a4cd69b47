/** What the documentation points at is there: pages, places in them, files, scripts, commands, options; and every command and option is in it. */
import { existsSync, readFileSync } from 'node:fs';
import { dirname, join, normalize } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { BlockRunner, commandIn } from '../support/docs/block-runner.ts';
import { type CommandHelp, commandHelps, longOption } from '../support/docs/command-help.ts';
import { anchors, codeWords, links, type Page } from '../support/docs/markdown.ts';
import { PAGE_PATHS, pageOf, ROOT } from '../support/docs/pages-of-docs.ts';
import { REFERENCE_PATH, referencePage } from '../support/docs/reference-page.ts';

const pages = PAGE_PATHS.map(pageOf);
const scripts = Object.keys(JSON.parse(readFileSync(join(ROOT, 'package.json'), 'utf8')).scripts);

/** The program is loaded once, on a machine that may be busy. */
const HELPS_MS_MAX = 300_000;
let runner: BlockRunner;
let helps: readonly CommandHelp[];
beforeAll(async () => {
  runner = await BlockRunner.start();
  helps = await commandHelps(runner, ROOT);
}, HELPS_MS_MAX);
afterAll(() => runner?.close());

/** Every place where code stands: in a line, and each line of what is typed. */
function code(page: Page): readonly { readonly at: string; readonly text: string }[] {
  const typed = page.blocks
    .filter(({ language }) => language === 'sh')
    .flatMap(({ line, text }) =>
      text.split('\n').map((typedLine, index) => ({ line: line + index + 2, text: typedLine.replace(/\s#.*$/, '') })),
    );
  return [...codeWords(page), ...typed].map(({ line, text }) => ({ at: `${page.path}:${line}`, text }));
}

describe('the documentation', () => {
  it('has no link that leads nowhere', () => {
    const broken = pages.flatMap((page) =>
      links(page)
        .filter(({ to }) => !to.includes('://'))
        .filter(({ to }) => {
          const [path = '', anchor] = to.split('#');
          const file = path === '' ? page.path : normalize(join(dirname(page.path), path));
          if (!existsSync(join(ROOT, file))) return true;
          return anchor !== undefined && !anchors(pageOf(file)).has(anchor);
        })
        .map(({ line, to }) => `${page.path}:${line}: ${to}`),
    );
    expect(broken).toEqual([]);
  });

  it('has every page of docs/ within one link of README.md or of a page that README.md links', () => {
    const reached = new Set(['README.md']);
    const follow = (page: Page) => {
      for (const { to } of links(page)) {
        const [path = ''] = to.split('#');
        if (path.endsWith('.md') && !to.includes('://')) reached.add(normalize(join(dirname(page.path), path)));
      }
    };
    follow(pageOf('README.md'));
    for (const path of [...reached].filter((other) => PAGE_PATHS.includes(other))) follow(pageOf(path));
    expect(PAGE_PATHS.filter((path) => !reached.has(path))).toEqual([]);
  });

  it('names only scripts of npm that there are', () => {
    const named = pages.flatMap((page) =>
      code(page).flatMap(({ at, text }) =>
        [...text.matchAll(/npm run (?:--silent )?([\w:-]+)/g)].map(([, script = '']) => ({ at, script })),
      ),
    );
    expect(named.filter(({ script }) => !scripts.includes(script))).toEqual([]);
    expect(named.length).toBeGreaterThan(20);
  });

  it('names only files of the sources that there are', () => {
    const named = pages.flatMap((page) =>
      code(page).flatMap(({ at, text }) =>
        /^(host|protocol|firmware-sim|dashboards|tests|docs)\/[\w./-]*\w\/?$/.test(text) ? [{ at, text }] : [],
      ),
    );
    expect(named.filter(({ text }) => !existsSync(join(ROOT, text)) && !/(^|\/)dist|\/build\//.test(text))).toEqual([]);
    expect(named.length).toBeGreaterThan(50);
  });

  it('names only commands, and of a command only options, that there are', () => {
    const wrong = pages.flatMap((page) =>
      code(page).flatMap(({ at, text }) => {
        const args = commandIn(wordsOf(text));
        if (!args || args.length === 0 || /^[A-Z-]/.test(args[0] ?? '') || text === JOURNAL_LIBRARY) return [];
        const help = helps.find(({ name }) => name === args[0]);
        if (!help) return [`${at}: no command ${args[0]}`];
        const known = [...help.options.map(longOption), '--help'];
        return args.filter((word) => /^--[a-z]/.test(word) && !known.includes(word)).map((word) => `${at}: ${args[0]} has no ${word}`);
      }),
    );
    expect(wrong).toEqual([]);
  });

  it('names no option that neither a command nor a script has', () => {
    const ours = new Set(['--help', ...helps.flatMap(({ options }) => options.map(longOption))]);
    const words = pages
      .filter(({ path }) => path !== REFERENCE_PATH)
      .flatMap((page) => codeWords(page).map(({ line, text }) => ({ at: `${page.path}:${line}`, text })))
      .filter(({ text }) => /^--[a-z][a-z-]*( |$)/.test(text))
      .map(({ at, text }) => ({ at, option: text.split(' ')[0] ?? '' }));
    expect(words.filter(({ option }) => !ours.has(option) && !OF_SCRIPTS.has(option))).toEqual([]);
  });

  it('lists every command with all its options, as the program has them', () => {
    expect(pageOf(REFERENCE_PATH).text, 'npm run docs writes it anew').toBe(referencePage(helps));
    const readme = pageOf('README.md').text;
    expect(helps.filter(({ name }) => !readme.includes(`\`${name}`)).map(({ name }) => name)).toEqual([]);
  });

  it('says under every table of what was found what finds it again', () => {
    const silent = pages.flatMap(({ path, text }) =>
      text
        .split(/^#{1,6} /m)
        .filter((section) => /\|\s*(found|measured)[^|]*\|.*\n\|-/i.test(section))
        .filter((section) => !/npm run (check|bench|simulate|fuzz)|tests\/\w+\/[\w-]+\.test\.ts|npx vitest run/.test(section))
        .map((section) => `${path}: ${section.split('\n')[0]}`),
    );
    expect(silent).toEqual([]);
  });
});

/** What a journal's header says wrote it. */
const JOURNAL_LIBRARY = 'postern journal 1';
/** Options of benches, of npm and of other programs, which no command has. */
const OF_SCRIPTS: ReadonlySet<string> = new Set([
  '--small',
  '--no-tests',
  '--only',
  '--minutes',
  '--cpu-prof',
  '--target',
  '--global',
  '--ignore-scripts',
  '--omit',
  '--offline',
]);

/** Of one line, without the shell's own quoting. */
const wordsOf = (line: string): readonly string[] =>
  [...line.trim().matchAll(/"([^"]*)"|'([^']*)'|(\S+)/g)].map(([, double, single, plain]) => double ?? single ?? plain ?? '');
