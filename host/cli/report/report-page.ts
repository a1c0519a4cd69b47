/** The report as one HTML file that needs nothing from elsewhere and runs nothing. */
import type { OperatorAct } from '../../../protocol/index.ts';
import type { DisplaySystem } from '../../units/index.ts';
import type { ReportFacts } from './gather.ts';
import { Html, html } from './html.ts';
import { airSection } from './sections/air.ts';
import { curvesSection } from './sections/curves.ts';
import { headSection } from './sections/head.ts';
import { holdPointSection } from './sections/hold-points.ts';
import { shotSection } from './sections/one-shot.ts';
import { rigSection } from './sections/rig.ts';
import { summarySection } from './sections/summary.ts';
import { journalSection, uncertaintySection } from './sections/uncertainty.ts';
import { REPORT_STYLE } from './style.ts';

export interface ReportOptions {
  readonly units: DisplaySystem;
  /** ISO 8601. */
  readonly madeAt: string;
  readonly softwareVersion: string;
}

export function reportPage(facts: ReportFacts, { units, madeAt, softwareVersion }: ReportOptions): string {
  const { rig, sessionId, shots, journal, laterActs } = facts;
  const policy = "default-src 'none'; style-src 'unsafe-inline'";
  const page = html`<!doctype html>
<html lang="en"><head><meta charset="utf-8"><meta http-equiv="Content-Security-Policy" content="${policy}"><meta name="viewport" content="width=device-width, initial-scale=1"><title>${rig.name}, session ${sessionId}</title><style>${new Html(REPORT_STYLE)}</style></head>
<body><main>
${headSection(facts, madeAt, softwareVersion)}
${summarySection(facts, units)}
${sessionNotes(facts)}
${curvesSection(facts)}
${rigSection(facts, units)}
${airSection(facts, units)}
${holdPointSection(facts)}
${uncertaintySection(facts)}
${shots.map((shot) =>
  shotSection(
    shot,
    rig,
    {
      own: journal?.acts.filter(({ act }) => isOn(act, shot.id)) ?? [],
      later: laterActs.filter(({ event }) => 'shotId' in event && event.shotId === shot.id),
    },
    units,
  ),
)}
${journalSection(facts)}
</main></body></html>
`;
  return page.text;
}

const isOn = (act: OperatorAct, shotId: string): boolean => 'shotId' in act && act.shotId === shotId;

function sessionNotes({ journal }: ReportFacts): Html | undefined {
  const notes = (journal?.acts ?? []).flatMap(({ act, at }) => (act.act === 'note' && act.shotId === undefined ? [{ act, at }] : []));
  if (notes.length === 0) return undefined;
  return html`<section><h2>Notes</h2><ul>${notes.map(({ act, at }) => html`<li>${at.slice(11, 19)} ${act.who ?? 'somebody'}: ${act.text}</li>`)}</ul></section>`;
}
