/** One shot: its results, its picture, its gates, and what was done to it. */
import type { RigSummary, Shot, ShotCamera, StoredAct } from '../../../../protocol/index.ts';
import { type Chart, drawChart, flightChart, pressureChart, rangePicture, svgText, velocityChart } from '../../../charts/index.ts';
import { blowDownWords } from '../../../pipeline/index.ts';
import { type DisplaySystem, formatValue, NO_VALUE, withMinus } from '../../../units/index.ts';
import { withdrawnWords } from '../../camera/camera-line.ts';
import { journalName } from '../../data/data-folder.ts';
import { actWords, whoOf } from '../../history/act-words.ts';
import { eventWho, eventWords } from '../../history/event-words.ts';
import { askedTexts } from '../../shots/acceptance-lines.ts';
import { resultsOf } from '../../shots/shot-results.ts';
import { massText } from '../../text/crew-lines.ts';
import { Html, html, table } from '../html.ts';
import type { RecordedAct } from '../journal-facts.ts';
import { utcText } from './head.ts';
import { resultText } from './summary.ts';

const WIDTH = 700;
/** Two of these side by side. */
const HALF = { widthPx: 345, frameHeightPx: 110 };
/** A shot with a few edits prints on two pages. */
const LOW = { widthPx: 345, frameHeightPx: 92 };

/** What was done to a shot: by its own session, as far as its journal is at hand, and by later ones. */
export interface ShotActs {
  readonly own: readonly RecordedAct[];
  readonly later: readonly StoredAct[];
}

export function shotSection(shot: Shot, rig: RigSummary, acts: ShotActs, system: DisplaySystem): Html {
  const { number, id } = shot;
  const drawn = [{ shot, rig, name: `shot ${number}` }];
  const chart = (
    of: Chart | undefined,
    size: { readonly widthPx: number; readonly frameHeightPx: number },
    name: string,
  ): Html | undefined => of && html`<figure>${new Html(svgText(drawChart(of, { ...size, id: `shot-${number}-${name}` })))}</figure>`;
  return html`<section class="shot" id="shot-${number}"><h2>Shot ${number}${shot.exclusion ? ': left out' : ''}</h2>
<p>${id}, fired ${utcText(shot.firedAt)} (${shot.firedAt.slice(11, 26)}), timed by ${shot.firedBy}; ${shot.projectile}. Flags: ${shot.flags.join(', ') || 'none'}.</p>
${shot.exclusion ? html`<p><strong>Left out</strong> by ${shot.exclusion.who}${shot.exclusion.sessionId === undefined ? '' : ` in session ${shot.exclusion.sessionId}`}: ${shot.exclusion.reason}.</p>` : undefined}
${shot.weighed ? html`<p><strong>Weighed</strong> by ${shot.weighed.who}: ${massText(shot.weighed)} in place of the rig file's ${massText(shot.weighed.insteadOf)} (${shot.weighed.reason}). Everything below is made with it.</p>` : undefined}
${shot.acceptance ? html`<p>Asked of it: <span class="verdict">${shot.acceptance.verdict}</span></p><ul>${askedTexts(shot.acceptance).map((one) => html`<li>${one}</li>`)}</ul>` : undefined}
<figure>${new Html(svgText(rangePicture(shot, rig, { widthPx: WIDTH, id: `shot-${number}-range`, system })))}</figure>
${chart(flightChart(shot, rig), { widthPx: WIDTH, frameHeightPx: 120 }, 'flight')}
<div class="beside">${chart(pressureChart(shot, 'reservoirPressure', { system }), HALF, 'reservoir')}${chart(pressureChart(shot, 'barrelPressure', { system }), HALF, 'barrel')}</div>
<div class="beside">${chart(velocityChart(drawn, 'place', system), LOW, 'velocity-place')}${chart(velocityChart(drawn, 'time', system), LOW, 'velocity-time')}</div>
${shot.blowDown ? html`<p>${blowDownWords(shot.blowDown, shot.firedBy)}</p>` : undefined}
${table(
  ['Result', 'Value ± 95 %', 'Largest term of its uncertainty'],
  resultsOf(shot).flatMap(({ title, kind, result }) =>
    result ? [[title, resultText(result, kind, system), result.budget[0]?.input ?? '']] : [],
  ),
)}
${gateTable(shot, rig, system)}
${camerasOf(shot)}
${editsOf(acts)}
</section>`;
}

function gateTable(shot: Shot, rig: RigSummary, system: DisplaySystem): Html {
  const rows = rig.gates.map(({ name, positionM }) => {
    const used = shot.passages.find(({ gate }) => gate === name);
    const passage = used ?? shot.rejectedPassages?.find(({ gate }) => gate === name);
    const leftOut = shot.edges.filter(({ gate, verdict }) => gate === name && verdict === 'rejected').map(({ reason }) => reason);
    return [
      name,
      formatValue(positionM, 'length', system),
      used ? 'used' : passage ? 'rejected' : 'no passage',
      passage ? formatValue(passage.timeS, 'time', system) : NO_VALUE,
      passage?.residualS === undefined ? NO_VALUE : `${withMinus((1e6 * passage.residualS).toFixed(2))} µs`,
      passage?.chordM === undefined ? NO_VALUE : formatValue(passage.chordM, 'smallLength', system),
      [...new Set(leftOut)].join('; '),
    ];
  });
  return table(['Gate', 'From the muzzle datum', 'Said', 'Passed at', 'Residual', 'Chord', 'Edges left out'], rows);
}

function editsOf({ own, later }: ShotActs): readonly Html[] {
  const rows = own.map(({ at, act, record }) => [utcText(at), whoOf(act), actWords(act), String(record)]);
  const laterRows = later.map(({ at, event, session }) => [utcText(at), eventWho(event), eventWords(event), journalName(session)]);
  const tables = [
    { title: 'Record in the journal', rows, caption: 'Edits and notes; nothing in a journal is ever changed' },
    { title: 'In the journal', rows: laterRows, caption: 'What later sessions did to it, kept in their own journals' },
  ];
  return tables.flatMap(({ title, rows: told, caption }) =>
    told.length === 0 ? [] : [table(['When', 'Who', 'What', title], told, caption)],
  );
}

/** What cameras have of it. */
function camerasOf({ cameras = [] }: Shot): Html | undefined {
  if (cameras.length === 0) return undefined;
  return html`<ul>${cameras.map((of) => html`<li>${cameraText(of)}</li>`)}</ul>`;
}

function cameraText({ camera, clip, who, check, withdrawal }: ShotCamera): string {
  const head = `Camera ${camera}${clip === '' ? '' : `, clip ${clip}`}, told by ${who}: `;
  if (withdrawal) return `${head}its track is ${withdrawnWords(withdrawal)}`;
  return head + (check?.words ?? 'no track of it counts.');
}
