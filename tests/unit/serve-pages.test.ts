/** The built pages as they are sent: compressed where that was done beforehand, and kept by the browser where a name says what is in it. */
import { mkdirSync, writeFileSync } from 'node:fs';
import { type IncomingHttpHeaders, request } from 'node:http';
import { join } from 'node:path';
import { brotliCompressSync, brotliDecompressSync, gunzipSync, gzipSync } from 'node:zlib';
import { afterAll, beforeAll, expect, it } from 'vitest';
import { LiveFeed, type RunningServer, startServer } from '../../host/serve/index.ts';
import { PAGE_PATHS } from '../../host/serve/page-paths.ts';
import { scratchFolder } from '../support/command.ts';

const FILES = { 'index.html': '<!doctype html><title>page</title>', 'assets/index-1a.js': 'void 0; // '.padEnd(2_000, 'a') };
const EXPAND = { br: brotliDecompressSync, gzip: gunzipSync } as const;

// A folder of that name on the way is no folder of named files.
const scratch = scratchFolder();
const pagesDir = join(scratch.path, 'assets', 'pages');
let server: RunningServer;

beforeAll(async () => {
  mkdirSync(join(pagesDir, 'assets'), { recursive: true });
  for (const [name, text] of Object.entries(FILES)) {
    writeFileSync(join(pagesDir, name), text);
    writeFileSync(join(pagesDir, `${name}.br`), brotliCompressSync(text));
    writeFileSync(join(pagesDir, `${name}.gz`), gzipSync(text));
  }
  server = await startServer({ feed: new LiveFeed({ mode: 'live' }), port: 0, pagesDir });
});
afterAll(async () => {
  await server.close();
  scratch.remove();
});

/** As it comes over the line. */
function fetched(path: string, encodings: string): Promise<{ headers: IncomingHttpHeaders; body: Buffer; status: number | undefined }> {
  return new Promise((resolve, reject) => {
    const asked = request(new URL(path, server.url), { headers: { 'accept-encoding': encodings } }, (answer) => {
      const pieces: Buffer[] = [];
      answer.on('data', (piece: Buffer) => pieces.push(piece));
      answer.on('end', () => resolve({ headers: answer.headers, body: Buffer.concat(pieces), status: answer.statusCode }));
    });
    asked.on('error', reject).end();
  });
}

const PATHS = [
  ...['/', ...PAGE_PATHS].map((path) => [path, 'index.html'] as const),
  ['/assets/index-1a.js', 'assets/index-1a.js'] as const,
];

it.each([
  ['br, gzip', 'br'],
  ['gzip, deflate, br', 'br'],
  ['gzip', 'gzip'],
  ['identity', undefined],
  ['', undefined],
] as const)('to who takes "%s" as %s, every page', async (encodings, encoding) => {
  for (const [path, name] of PATHS) {
    const { headers, body, status } = await fetched(path, encodings);
    expect([path, status, headers['content-encoding'], headers.vary]).toEqual([path, 200, encoding, 'accept-encoding']);
    expect((encoding ? EXPAND[encoding](body) : body).toString('utf8')).toBe(FILES[name]);
  }
});

it('to be kept only under a name that changes with what it holds', async () => {
  for (const [path, name] of PATHS) {
    const { headers } = await fetched(path, 'br');
    if (name === 'index.html') expect([path, headers['cache-control']]).toEqual([path, 'public, max-age=0']);
    else expect(headers['cache-control']).toContain('immutable');
  }
});
