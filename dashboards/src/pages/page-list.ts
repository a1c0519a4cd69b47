/**
 * The pages, each with an address of its own. What all of them have (head, alarms, signs of the links) stands around them
 * in `components/app.tsx`. A new page is a file here and a row below; `host/serve/page-paths.ts` has its address served.
 */
import type { ComponentType } from 'preact';
import { RigPage } from './rig-page.tsx';

export interface PageEntry {
  readonly path: string;
  /** In the navigation and in the title of the window. */
  readonly name: string;
  /** Fetched when it is first gone to, so that the first view stays small; one that is here already comes as it is. */
  readonly page: { readonly here: ComponentType } | { readonly fetch: () => Promise<ComponentType> };
}

export const PAGES: readonly PageEntry[] = [
  { path: '/', name: 'Rig', page: { here: RigPage } },
  { path: '/shot', name: 'Shot', page: { fetch: async () => (await import('./shot-page.tsx')).ShotPage } },
  { path: '/shots', name: 'Shots', page: { fetch: async () => (await import('./shots-page.tsx')).ShotsPage } },
  { path: '/map', name: 'Map', page: { fetch: async () => (await import('./map-page.tsx')).MapPage } },
  { path: '/drag', name: 'Drag', page: { fetch: async () => (await import('./drag-page.tsx')).DragPage } },
  { path: '/camera', name: 'Camera', page: { fetch: async () => (await import('./camera-page.tsx')).CameraPage } },
  { path: '/replay', name: 'Replay', page: { fetch: async () => (await import('./replay-page.tsx')).ReplayPage } },
  { path: '/wall', name: 'Wall', page: { fetch: async () => (await import('./wall-page.tsx')).WallPage } },
  { path: '/fleet', name: 'Fleet', page: { fetch: async () => (await import('./fleet-page.tsx')).FleetPage } },
  { path: '/set-up', name: 'Set-up', page: { fetch: async () => (await import('./set-up-page.tsx')).SetUpPage } },
];
