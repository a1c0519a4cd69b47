/** What the report is of, and what must be said before anything else. */
import type { ReportFacts } from '../gather.ts';
import { type Html, html } from '../html.ts';

export function headSection(facts: ReportFacts, madeAt: string, version: string): Html {
  const { rig, sessionId, shots, journal } = facts;
  const left = shots.filter(({ exclusion }) => exclusion).length;
  const told = facts.softwareVersion || journal?.softwareVersion || 'unknown';
  const rows: readonly (readonly [string, string])[] = [
    ['Session', sessionId],
    ['Opened', utcText(facts.openedAt || journal?.openedAt || '')],
    ['Rig', `${rig.name}, ${rig.site}`],
    ['Projectile', rig.projectile.name],
    ['Shots', `${shots.length}, of which ${left} left out`],
    [
      'Journal',
      journal
        ? `${journal.journal}${journal.damages > 0 ? `, with ${journal.damages} stretches that cannot be read` : ''}`
        : 'not in its folder: acts, notes and the rig file are not in this report',
    ],
    ['Recorded by', `Postern ${told}`],
    ['Report made', `${utcText(madeAt)} by Postern ${version}`],
  ];
  return html`<header><h1>Session report: ${rig.name}, ${rig.site}</h1>
<dl class="facts">${rows.map(([name, text]) => html`<dt>${name}</dt><dd>${text}</dd>`)}</dl>
<div class="caution" role="note"><strong>Caution.</strong> Stored gas kills; so do fragments and noise. A number here is no proof that a vessel is empty or that a barrel is safe to approach: isolate, vent, and prove it by the vessel's own gauge and valve. What this report says of fill and velocity is no leave to fill or to fire. Use vessels, fittings and relief devices within their rating and test dates, keep the exclusion zone, one person in charge of firing, eye and ear protection for everyone. Local law, codes for pressure equipment and licensed practice come before anything written here.</div></header>`;
}

export const utcText = (iso: string): string => (iso === '' ? 'not known' : `${iso.slice(0, 19).replace('T', ' ')} UTC`);
