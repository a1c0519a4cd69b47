/**
 * Heron's rig file with the flashable board in it: what its stamps are good for, and its converter of ten bits. Nothing
 * else differs, so whatever stands in the file stands in the variant.
 */
import { CHANNELS } from '../world/heron.ts';
import { tenBitCount } from './analog-inputs.ts';

/** As `npm run check:board` measures them; a test holds both together. The capture unit's three ticks are its model's. */
export const STAMPS = {
  capture: 'delay: 187.5 ns ± 31.3 ns rect, jitter: 0 ns',
  software: 'delay: 11 us ± 9 us rect, jitter: 6 us',
} as const;

/** Of the calibrated span, expanded: the transducer's own, a count's rounding, and a bow of up to a count in the converter. */
const UNCERTAINTY: Readonly<Record<string, string>> = { reservoirPressure: '± 0.3 % of span', barrelPressure: '± 0.2 % of span' };

/** @throws Error where the text is not built as Heron's is (our own mistake) */
export function withFlashableBoard(text: string): string {
  const board = replaced(
    text,
    /^( +)tickRate: .*$/m,
    (line, indent = '') =>
      `${line}\n${indent}capture: { ${STAMPS.capture} }\n${indent}software: { ${STAMPS.software} }\n${indent}analogBits: 10`,
  );
  return CHANNELS.reduce((rig, { name, countsLow, countsHigh }) => {
    const [low, high] = [countsLow, countsHigh].map((counts) => tenBitCount(counts).toFixed(1));
    const uncertainty = UNCERTAINTY[name];
    if (uncertainty === undefined) throw new Error(`no uncertainty is stated for ${name} on the flashable board`);
    const block = new RegExp(`(^ {2}${name}:[^]*?)\\[\\[${countsLow}, (.*?)\\], \\[${countsHigh}, (.*?)\\]\\](\\n +uncertainty: ).*$`, 'm');
    return replaced(
      rig,
      block,
      (_, head = '', from = '', to = '', key = '') => `${head}[[${low}, ${from}], [${high}, ${to}]]${key}${uncertainty}`,
    );
  }, board);
}

function replaced(text: string, pattern: RegExp, by: (...found: string[]) => string): string {
  if (!pattern.test(text)) throw new Error(`heron.yaml has nothing like ${pattern}`);
  return text.replace(pattern, (...found: unknown[]) => by(...(found as string[])));
}
