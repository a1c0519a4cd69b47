import type { Health } from '../../../protocol/index.ts';

/** Before it is first told, a channel's health is not known and not held against it. */
export const isUnfit = (health: Health | undefined): boolean => health !== undefined && health !== 'healthy' && health !== 'waiting';
