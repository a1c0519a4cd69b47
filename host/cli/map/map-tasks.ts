/** What is said between the session and the thread that makes its maps. */
import type { DragShot, MapSession, MapSource } from '../../../protocol/index.ts';
import type { MapAsked } from '../../serve/index.ts';

export type MapWork =
  | { readonly do: 'drag'; readonly shots: readonly DragShot[] }
  | { readonly do: 'make'; readonly shots: readonly MapSource[]; readonly sessions: readonly MapSession[] }
  | { readonly do: 'expected'; readonly asked: MapAsked & { readonly reservoirPressurePa: number } }
  | { readonly do: 'fill'; readonly asked: MapAsked & { readonly velocityMps: number } };

export type MapTask = MapWork & { readonly id: number };

export type MapTaskDone =
  | { readonly id: number; readonly ok: true; readonly answer: unknown }
  | { readonly id: number; readonly ok: false; readonly message: string };
