/** A strict reader of line protocol, by its grammar and not by our writer: what it refuses, a server may refuse. */

export interface ReadLine {
  readonly measurement: string;
  readonly tags: Readonly<Record<string, string>>;
  /** A whole number as a bigint. */
  readonly fields: Readonly<Record<string, number | bigint | string>>;
  readonly stamp: bigint;
}

/** @throws Error with what is wrong and where */
export function readLine(line: string): ReadLine {
  let at = 0;
  const fail = (what: string): never => {
    throw new Error(`${what} at ${at} of ${JSON.stringify(line)}`);
  };
  /** Up to one of the ends that no backslash stands before. */
  const word = (ends: string): string => {
    let text = '';
    while (at < line.length && !ends.includes(line[at] as string)) {
      if (line[at] === '\\' && ', ='.includes(line[at + 1] ?? '')) at += 1;
      else if (', ='.includes(line[at] as string)) fail('a bare separator');
      text += line[at++];
    }
    return text === '' ? fail('an empty word') : text;
  };
  const number = (text: string): number | bigint => {
    if (/^-?\d+i$/.test(text)) return BigInt(text.slice(0, -1));
    return /^-?\d+(\.\d+)?(e[-+]\d+)?$/.test(text) ? Number(text) : fail(`"${text}" is no number`);
  };
  const quoted = (): string => {
    let text = '';
    for (at += 1; line[at] !== '"'; at += 1) {
      if (at >= line.length) fail('a text without its end');
      if (line[at] === '\\' && '"\\'.includes(line[at + 1] ?? '')) at += 1;
      text += line[at];
    }
    at += 1;
    return text;
  };

  if (/[\n\r\0]/.test(line)) fail('a control character');
  const measurement = word(', ');
  const tags: Record<string, string> = {};
  while (line[at] === ',') {
    at += 1;
    const key = word('=');
    at += 1;
    if (Object.hasOwn(tags, key)) fail(`the tag ${key} again`);
    tags[key] = word(', ');
  }
  const fields: Record<string, number | bigint | string> = {};
  do {
    at += 1;
    const key = word('=');
    at += 1;
    if (Object.hasOwn(fields, key)) fail(`the field ${key} again`);
    if (line[at] === '"') fields[key] = quoted();
    else fields[key] = number(word(', '));
  } while (line[at] === ',');
  if (line[at] !== ' ') fail('no stamp');
  const stamp = line.slice(at + 1);
  return /^-?\d{1,19}$/.test(stamp) ? { measurement, tags, fields, stamp: BigInt(stamp) } : fail('a stamp that is none');
}
