/** Compressed copies beside the built files, made once: the host sends what a browser takes, and compresses nothing itself. */
import { readdirSync, readFileSync, statSync, writeFileSync } from 'node:fs';
import { extname, join } from 'node:path';
import { brotliCompressSync, constants, gzipSync } from 'node:zlib';
import type { Plugin } from 'vite';

const TEXTS: ReadonlySet<string> = new Set(['.html', '.js', '.css', '.svg', '.webmanifest', '.json']);
/** Below it the copies save no packet. */
const LEAST_BYTES = 1_000;

export function preCompress(): Plugin {
  return {
    name: 'pre-compress',
    apply: 'build',
    writeBundle({ dir = '' }) {
      for (const name of readdirSync(dir, { recursive: true, encoding: 'utf8' })) {
        const path = join(dir, name);
        if (TEXTS.has(extname(name)) && statSync(path).size >= LEAST_BYTES) compress(path);
      }
    },
  };
}

function compress(path: string): void {
  const bytes = readFileSync(path);
  const params = { [constants.BROTLI_PARAM_MODE]: constants.BROTLI_MODE_TEXT, [constants.BROTLI_PARAM_SIZE_HINT]: bytes.length };
  writeFileSync(`${path}.br`, brotliCompressSync(bytes, { params }));
  writeFileSync(`${path}.gz`, gzipSync(bytes, { level: constants.Z_BEST_COMPRESSION }));
}
