/** The licences of the libraries whose code is in the pages, beside them: whoever passes the pages on passes these on. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import type { Plugin } from 'vite';

export const NOTICES_FILE = 'third-party-notices.txt';
const LICENCE_FILE = /^licen[cs]e/i;

export function notices(): Plugin {
  return {
    name: 'notices',
    apply: 'build',
    generateBundle(_, bundle) {
      const modules = Object.values(bundle).flatMap((file) => (file.type === 'chunk' ? file.moduleIds : []));
      const folders = new Set(modules.flatMap((id) => folderOf(id) ?? []));
      const source = `The pages hold code of these libraries.\n${[...folders].sort().map(noticeOf).join('')}`;
      this.emitFile({ type: 'asset', fileName: NOTICES_FILE, source });
    },
  };
}

/** Of the library that a module is from. */
const folderOf = (id: string): string | undefined => /^.*\/node_modules\/(@[^/]+\/)?[^/]+/.exec(id)?.[0];

function noticeOf(folder: string): string {
  const { name, version, license } = JSON.parse(readFileSync(join(folder, 'package.json'), 'utf8')) as Record<string, string>;
  const file = readdirSync(folder).find((each) => LICENCE_FILE.test(each));
  if (file === undefined) throw new Error(`${name} has no licence file: find its licence text, or do without the library`);
  return `\n${'-'.repeat(72)}\n${name} ${version} (${license})\n\n${readFileSync(join(folder, file), 'utf8').trim()}\n`;
}
