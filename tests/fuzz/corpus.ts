/** Inputs that once did harm, each with what it did: fed again in every run. */
import { readdirSync, readFileSync } from 'node:fs';

export interface Known {
  readonly file: string;
  /** What it did before it was mended. */
  readonly did: string;
  readonly input: unknown;
}

export function corpusOf(target: string): readonly Known[] {
  const folder = new URL(`./corpus/${target}/`, import.meta.url);
  let files: readonly string[];
  try {
    files = readdirSync(folder).sort();
  } catch {
    return [];
  }
  return files.map((file) => ({ file, ...(JSON.parse(readFileSync(new URL(file, folder), 'utf8')) as Omit<Known, 'file'>) }));
}
