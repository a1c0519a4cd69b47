/** Events as they would be if every text in them, from a board, a rig file or a note, were written by an attacker. */
import type { PipelineEvent } from '../../protocol/index.ts';

/** Sets the tripwire in whatever way a browser might be led to run it: as an element, an attribute, a link, a style, a template. */
export const SCRIPTS = [
  '<img src=x onerror="window.__fired=1">',
  '<script>window.__fired=1</script>',
  '"><svg onload=window.__fired=1>',
  "' onmouseover='window.__fired=1' autofocus onfocus='window.__fired=1",
  'javascript:window.__fired=1//',
  '</style><iframe srcdoc="<script>parent.__fired=1</script>">',
  // biome-ignore lint/suspicious/noTemplateCurlyInString: a template of somebody else's is what is tried
  '{{constructor.constructor("window.__fired=1")()}}${window.__fired=1}',
  '&lt;img src=x onerror=window.__fired=1&gt;',
];

/** By these the program itself finds its way; what stands there is never free text. */
const STRUCTURE = new Set(
  'type change severity state was health phase mode role measures unit reference verdict by kind act stream channel openedAt firedAt firedBy over resetCause'.split(
    ' ',
  ),
);

/** The same text gives the same, so that what refers to each other still does. */
const hostile = (text: string): string => `${text}${SCRIPTS[text.length % SCRIPTS.length]}`;

export const withHostileTexts = (event: PipelineEvent): PipelineEvent => changed(event) as PipelineEvent;

function changed(node: unknown, key = ''): unknown {
  if (typeof node === 'string') return STRUCTURE.has(key) ? node : hostile(node);
  if (Array.isArray(node)) return node.map((one) => changed(one, key));
  if (typeof node !== 'object' || node === null) return node;
  return Object.fromEntries(Object.entries(node).map(([name, value]) => [name, changed(value, name)]));
}
