/** HTML in which whatever is put in is only shown, unless it is HTML of our own making. */

export class Html {
  readonly text: string;

  /** @param text  sound HTML */
  constructor(text: string) {
    this.text = text;
  }
}

type Part = Html | string | number | undefined | readonly (Html | string | number)[];

/** Control characters but tab and line ends, marks that turn the direction of reading, lone halves of characters. */
const UNFIT = /[^\P{Cc}\t\n\r]|\p{Cs}|[\u202a-\u202e\u2066-\u2069]/gu;
const ENTITIES: Readonly<Record<string, string>> = { '&': '&amp;', '<': '&lt;', '>': '&gt;', '"': '&quot;', "'": '&#39;' };

const escaped = (text: string): string => text.replace(UNFIT, '\ufffd').replace(/[&<>"']/g, (character) => ENTITIES[character] as string);

export function html(strings: TemplateStringsArray, ...parts: readonly Part[]): Html {
  return new Html(strings.map((text, i) => `${text}${i < parts.length ? written(parts[i]) : ''}`).join(''));
}

function written(part: Part): string {
  if (part === undefined) return '';
  if (part instanceof Html) return part.text;
  if (typeof part === 'string' || typeof part === 'number') return escaped(String(part));
  return part.map((each) => written(each)).join('');
}

/** @param head  column titles; the first column names its row */
export function table(head: readonly string[], rows: readonly (readonly (Html | string)[])[], caption = ''): Html {
  return html`<div class="wide" role="group" tabindex="0" aria-label="${caption === '' ? head.join(', ') : caption}"><table>${caption === '' ? undefined : html`<caption>${caption}</caption>`}<thead><tr>${head.map((title) => html`<th scope="col">${title}</th>`)}</tr></thead><tbody>${rows.map(
    (cells) => html`<tr>${cells.map((cell, i) => (i === 0 ? html`<th scope="row">${cell}</th>` : html`<td>${cell}</td>`))}</tr>`,
  )}</tbody></table></div>`;
}
