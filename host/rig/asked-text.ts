/**
 * What a session states on its own to be asked of its shots, laid into the rig file's text: the journal then has one whole
 * text, of which a replay makes the same as the session did.
 */
import { isMap, isNode, isScalar, type Pair, parseDocument } from 'yaml';
import type { RigProblem } from './rig.ts';
import { readSource } from './source.ts';

export type AskedText =
  | { readonly ok: true; readonly text: string /** Of the text, before the first of what is asked. */; readonly linesBefore: number }
  | { readonly ok: false; readonly problems: readonly RigProblem[] };

const KEYS: readonly string[] = ['acceptance', 'agreement', 'cameraAgreement'];

/**
 * @param rigText  of a rig file; what it states under a key that is asked anew is blanked, line for line
 * @param askedText  YAML with one or more of the three keys
 * @param fileName  of the latter, for sentences on it as a whole
 * @returns a text for `loadRig`, which judges it; or what is wrong with what is asked
 */
export function withAsked(rigText: string, askedText: string, fileName: string): AskedText {
  const read = readSource(askedText, fileName);
  if (!read.ok) return read;
  const { data, locate } = read.source;
  const asked = typeof data === 'object' && data !== null && !Array.isArray(data) ? Object.keys(data) : [];
  if (asked.length === 0) return refused(`${fileName} states nothing; begin it with "acceptance:", "agreement:" or "cameraAgreement:"`);
  const stranger = asked.find((key) => !KEYS.includes(key));
  if (stranger !== undefined) {
    const message = `is not asked of a shot; this file may state ${KEYS.join(', ')}, and all else is the rig file’s`;
    return { ok: false, problems: [{ ...locate([stranger], 'key'), path: stranger, message }] };
  }
  const own = blanked(rigText, asked);
  const head = `${own}${own.endsWith('\n') ? '' : '\n'}# What this session asks of its shots, from a file of its own:\n`;
  return { ok: true, text: head + askedText, linesBefore: head.split('\n').length - 1 };
}

const refused = (message: string): AskedText => ({ ok: false, problems: [{ line: 0, column: 0, path: '', message }] });

/** What cannot be found stays, and is told as a repeated key. */
function blanked(text: string, keys: readonly string[]): string {
  const { contents } = parseDocument(text, { prettyErrors: false, stringKeys: true, resolveKnownTags: false, logLevel: 'error' });
  if (!isMap(contents)) return text;
  return contents.items
    .flatMap((pair: Pair): readonly (readonly [number, number])[] => {
      const { key, value } = pair;
      if (!isScalar(key) || !keys.includes(String(key.value)) || !key.range) return [];
      return [[key.range[0], isNode(value) && value.range ? value.range[1] : key.range[2]]];
    })
    .reduce((left, [from, to]) => left.slice(0, from) + left.slice(from, to).replace(/[^\n]/g, ' ') + left.slice(to), text);
}
