/** What the tests of the documentation read out of a page: fenced blocks with what stands before and after them, headings, links. */

export interface Block {
  /** Of its opening fence, from 0. */
  readonly line: number;
  /** Of its closing fence. */
  readonly endLine: number;
  readonly language: string;
  readonly text: string;
  /** Of the fence, as in a list. */
  readonly indent: string;
  /** In comments directly above it: `<!-- not run here: reason -->`. */
  readonly notRun: string | undefined;
  /** `<!-- exit code N: reason -->`; 0 where none is stated. */
  readonly exitCode: number;
  /** The `text` block directly behind a `sh` block: what it prints. */
  readonly output: Block | undefined;
}

export interface Page {
  /** From the repository's root. */
  readonly path: string;
  readonly text: string;
  readonly blocks: readonly Block[];
}

const FENCE = /^(\s*)```(.*)$/;

export function readPage(path: string, text: string): Page {
  const lines = text.split('\n');
  const found: Block[] = [];
  for (let line = 0; line < lines.length; line++) {
    const [, indent = '', language = ''] = FENCE.exec(lines[line] ?? '') ?? [];
    if (!FENCE.test(lines[line] ?? '')) continue;
    const endLine = lines.findIndex((other, at) => at > line && other.trim() === '```');
    if (endLine < 0) throw new Error(`${path}:${line + 1}: this block is never closed`);
    const inside = lines.slice(line + 1, endLine).map((inner) => (inner.startsWith(indent) ? inner.slice(indent.length) : inner));
    found.push({
      line,
      endLine,
      language: language.trim(),
      text: inside.join('\n'),
      indent,
      ...remarksAbove(lines, line),
      output: undefined,
    });
    line = endLine;
  }
  const blocks = found.map((block, index) => {
    const next = found[index + 1];
    const isOutput = block.language === 'sh' && next?.language === 'text' && lines.slice(block.endLine + 1, next.line).every(isBlank);
    return isOutput ? { ...block, output: next } : block;
  });
  return { path, text, blocks };
}

const isBlank = (line: string): boolean => line.trim() === '';

function remarksAbove(lines: readonly string[], line: number): Pick<Block, 'notRun' | 'exitCode'> {
  let notRun: string | undefined;
  let exitCode = 0;
  for (let above = line - 1; above >= 0; above--) {
    const text = lines[above]?.trim() ?? '';
    const [, remark] = /^<!-- (.*) -->$/.exec(text) ?? [];
    if (remark === undefined && text !== '') break;
    const [, reason] = /^not run here: (.+)$/.exec(remark ?? '') ?? [];
    const [, code] = /^exit code (\d+): .+$/.exec(remark ?? '') ?? [];
    if (reason !== undefined) notRun = reason;
    if (code !== undefined) exitCode = Number(code);
  }
  return { notRun, exitCode };
}

/** Without fenced blocks, each line still in its place. */
export function prose({ text, blocks }: Page): string {
  const lines = text.split('\n');
  for (const { line, endLine } of blocks) lines.fill('', line, endLine + 1);
  return lines.join('\n');
}

/** As links point at them: lower case, spaces to hyphens, everything else but letters, digits, `_` and `-` gone; a second of a name has `-1`. */
export function anchors(page: Page): ReadonlySet<string> {
  const made = new Map<string, number>();
  const all = new Set<string>();
  for (const [, heading = ''] of prose(page).matchAll(/^#{1,6} (.+)$/gm)) {
    const slug = heading
      .replaceAll(/\[([^\]]*)\]\([^)]*\)/g, '$1')
      .toLowerCase()
      .replaceAll(/[^\p{L}\p{N}\s_-]/gu, '')
      .trim()
      .replaceAll(' ', '-');
    const before = made.get(slug) ?? 0;
    made.set(slug, before + 1);
    all.add(before === 0 ? slug : `${slug}-${before}`);
  }
  return all;
}

export interface Link {
  readonly line: number;
  readonly to: string;
}

/** Of text and pictures. */
export function links(page: Page): readonly Link[] {
  return prose(page)
    .split('\n')
    .flatMap((line, index) => [...line.matchAll(/\]\(([^)\s]+)\)/g)].map(([, to = '']) => ({ line: index + 1, to })));
}

/** Between back-ticks, line by line. */
export function codeWords(page: Page): readonly { readonly line: number; readonly text: string }[] {
  return prose(page)
    .split('\n')
    .flatMap((line, index) => [...line.matchAll(/`([^`]+)`/g)].map(([, text = '']) => ({ line: index + 1, text })));
}
