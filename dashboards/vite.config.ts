import { defineConfig } from 'vite';
import { notices } from './notices.ts';
import { preCompress } from './pre-compress.ts';

export default defineConfig({
  plugins: [notices(), preCompress()],
  oxc: { jsx: { runtime: 'automatic', importSource: 'preact' } },
  build: {
    outDir: 'dist',
    emptyOutDir: true,
    target: 'es2022',
    // The pages' content security policy allows no inline script and no data: script.
    modulePreload: { polyfill: false },
    assetsInlineLimit: 0,
  },
  server: {
    host: '127.0.0.1',
    // `vite dashboards` beside a running host: the pages are served from their sources, the data from the host.
    proxy: { '/api': 'http://127.0.0.1:4780', '/live': { target: 'ws://127.0.0.1:4780', ws: true, rewriteWsOrigin: true } },
  },
});
