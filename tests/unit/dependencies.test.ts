/** docs/dependencies.md against the lock file; every library has a purpose, a licence that is allowed, and somebody who imports it. */
import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { describe, expect, it } from 'vitest';
import { LICENCES_DEV, LICENCES_SHIPPED, libraries } from '../../host/package/dependencies.ts';
import { withTables } from '../../host/package/dependencies-doc.ts';
import { PURPOSES } from '../../host/package/purposes.ts';

const ROOT = fileURLToPath(new URL('../..', import.meta.url));
const all = libraries();
const direct = all.filter(({ isDirect }) => isDirect);

function sources(folder: string): readonly string[] {
  return readdirSync(join(ROOT, folder), { withFileTypes: true }).flatMap((entry) => {
    const path = join(folder, entry.name);
    if (entry.isDirectory()) return ['node_modules', 'dist'].includes(entry.name) ? [] : sources(path);
    return /\.(ts|tsx|mjs|cjs)$/.test(entry.name) ? [path] : [];
  });
}

describe('what we depend on', () => {
  it('stands in docs/dependencies.md as it is (else: npm run dependencies)', () => {
    const doc = readFileSync(join(ROOT, 'docs', 'dependencies.md'), 'utf8');
    expect(doc).toBe(withTables(doc));
    for (const { name, version } of direct) expect(doc).toContain(`| ${name} | ${version} |`);
  });

  it('has a purpose each, and there is none for what is gone', () => {
    expect(Object.keys(PURPOSES).toSorted()).toEqual(direct.map(({ name }) => name).toSorted());
  });

  it('is under licences that are allowed, all of it', () => {
    const wrong = all.filter(({ licence = '', isDev }) => !(isDev ? LICENCES_DEV : LICENCES_SHIPPED).has(licence));
    expect(wrong.map(({ name, version, licence }) => `${name}@${version} ${licence}`)).toEqual([]);
  });

  it('runs one script where the package is installed, which is known', () => {
    const scripts = all.filter(({ hasInstallScript, isDev }) => hasInstallScript && !isDev).map(({ name }) => name);
    expect(scripts).toEqual(['@serialport/bindings-cpp']);
    const manifest = JSON.parse(readFileSync(join(ROOT, 'node_modules/@serialport/bindings-cpp/package.json'), 'utf8'));
    // It looks for a binary that is there, and compiles where there is none; it fetches nothing.
    expect(manifest.scripts.install).toBe('node-gyp-build');
  });

  it('is imported by somebody, or configured', () => {
    const text = [
      ...['host', 'protocol', 'firmware-sim', 'dashboards', 'tests'].flatMap(sources),
      'package.json',
      'vitest.config.ts',
      'biome.json',
    ].map((file) => readFileSync(join(ROOT, file), 'utf8').replace(/"(dev)?[dD]ependencies": \{[^}]*\}/g, ''));
    const isUsed = (name: string): boolean =>
      name.startsWith('@types/') ||
      ['light-my-request', 'typescript', 'dependency-cruiser'].includes(name) ||
      text.some((each) => new RegExp(`['"/]${name.replace(/[.]/g, '\\.')}['"/]|[" ]${name} `).test(each));
    expect(direct.map(({ name }) => name).filter((name) => !isUsed(name))).toEqual([]);
  });

  it('has what the running program imports among what is installed with it', () => {
    const dev = new Set(direct.filter(({ isTool }) => isTool).map(({ name }) => name));
    const running = ['host', 'protocol', 'firmware-sim'].flatMap(sources).filter((file) => !file.startsWith('host/package/'));
    const imports = running.flatMap((file) =>
      [...readFileSync(join(ROOT, file), 'utf8').matchAll(/^(?:import|export) (?!type ).*? from '((?:@[^/']+\/)?[^./'][^/']*)/gm)].map(
        ([, name = '']) => `${file}: ${name}`,
      ),
    );
    expect(imports.length).toBeGreaterThan(100);
    // Only what has TypeScript read, from the sources.
    expect(imports.filter((each) => dev.has(each.replace(/^.*: /, '')) && each !== 'host/cli/map/map-worker.mjs: tsx')).toEqual([]);
  });
});
