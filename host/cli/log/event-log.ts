/** What the log keeps of a session's events: what whoever looks after the machine asks for afterwards. Measurements are in the journal. */
import type { Logger } from 'pino';
import type { LimitEvent, LinkEvent, PipelineEvent, ShotEvent } from '../../../protocol/index.ts';

export function logEvent(log: Logger, event: PipelineEvent): void {
  switch (event.type) {
    case 'session':
      log.info({ rig: event.rig.name, site: event.rig.site, version: event.softwareVersion }, 'rig file taken');
      return;
    case 'rig-rejected':
      log.error({ problems: event.problems }, 'rig file refused');
      return;
    case 'link':
      logLink(log, event);
      return;
    case 'board': {
      const { source, boardId, bootId, restarted, resetCause, problem } = event;
      log[problem === '' ? 'info' : 'warn']({ source, boardId, bootId, restarted, resetCause, problem }, 'board');
      return;
    }
    case 'shot':
      logShot(log, event);
      return;
    case 'limit':
      logLimit(log, event);
      return;
    case 'health': {
      const { channel, health, was, words } = event;
      log[health === 'healthy' || health === 'waiting' ? 'info' : 'warn']({ channel, health, was }, words);
      return;
    }
    case 'adjusted':
      log.info({ channel: event.channel, who: event.who }, 'channel adjusted');
      return;
    case 'shot-excluded': {
      const { shotId, excluded, who, reason } = event;
      log.info({ shot: shotId, excluded, who, reason }, 'shot excluded or taken in again');
      return;
    }
    case 'shot-camera': {
      const { camera, clip, who, check, withdrawal } = event.of;
      const came = { ...(check ? { verdict: check.verdict } : {}), ...(withdrawal ? { withdrawn: withdrawal } : {}) };
      log.info({ shot: event.shotId, camera, clip, who, ...came }, 'camera of a shot');
      return;
    }
    case 'shot-weighed': {
      const { shotId, before, after, who, reason } = event;
      log.info({ shot: shotId, beforeKg: before.valueKg, afterKg: after.valueKg, who, reason }, 'projectile weighed');
      return;
    }
    case 'act-refused':
      log.warn({ why: event.why }, 'act refused');
      return;
    default:
      return;
  }
}

function logLink(log: Logger, { source, change, path, detail }: LinkEvent): void {
  const isTrouble = change === 'lost' || change === 'silent' || change === 'wrong-device';
  log[isTrouble ? 'warn' : 'info']({ source, change, path, detail }, 'link');
}

function logShot(log: Logger, { phase, shot }: ShotEvent): void {
  if (phase !== 'closed') return;
  const { id, number, firedAt, flags, muzzleVelocityMps } = shot;
  const velocity = muzzleVelocityMps
    ? { muzzleVelocityMps: muzzleVelocityMps.value, expandedUncertaintyMps: muzzleVelocityMps.expandedUncertainty }
    : {};
  log.info({ shot: id, number, firedAt, flags, ...velocity }, 'shot closed');
}

function logLimit(log: Logger, { id, channel, severity, state, was, words, acknowledgedBy }: LimitEvent): void {
  const isRaised = state === 'active' && was !== 'active-acknowledged';
  log[isRaised ? 'warn' : 'info']({ limit: id, channel, severity, state, was, ...(acknowledgedBy ? { acknowledgedBy } : {}) }, words);
}
