/** What ± means here, and where everything can be looked up. */
import type { ReportFacts } from '../gather.ts';
import { type Html, html, table } from '../html.ts';

const LISTED = 8;

export function uncertaintySection({ shots }: ReportFacts): Html {
  const typical = shots.filter(({ muzzleVelocityMps, exclusion }) => muzzleVelocityMps && !exclusion);
  const shot = typical[Math.floor(typical.length / 2)];
  const result = shot?.muzzleVelocityMps;
  const rows = (result?.budget ?? [])
    .slice(0, LISTED)
    .map(({ input, contribution }) => [
      input,
      `${Number(contribution.toPrecision(2))} m/s`,
      `${(100 * (contribution / (result?.standardUncertainty ?? 1)) ** 2).toFixed(1)} %`,
    ]);
  return html`<section><h2>Uncertainty</h2>
<p>Uncertainties are evaluated by the Guide to the expression of uncertainty in measurement (JCGM 100:2008). After ± stands the expanded uncertainty for a coverage probability of about 95 %: the combined standard uncertainty times the coverage factor of Student's t at its effective degrees of freedom (about 2 where these are many), or k = 2 where a rig file or an instrument states it so. Results that share an input, as all shots share the gates' places, are correlated through it: their mean is not better known than that input allows.</p>
<p>Inputs are those of the rig file, taken as stated: this report does not prove a calibration. Not covered: a projectile other than the one named, a range that was moved since it was measured, and what the flags of a shot say of it.</p>
${shot && result ? table(['Term', 'Contribution, k = 1', 'Share of the variance'], rows, `The largest terms of the muzzle velocity of shot ${shot.number}; u = ${Number(result.standardUncertainty.toPrecision(2))} m/s, U = ${Number(result.expandedUncertainty.toPrecision(2))} m/s (k = ${result.coverageFactor.toFixed(2)})`) : undefined}
</section>`;
}

export function journalSection({ journal, sessionId }: ReportFacts): Html {
  if (!journal)
    return html`<section><h2>Where to look it up</h2><p>The journal of session ${sessionId} is not in its folder.</p></section>`;
  const { rigFile } = journal;
  return html`<section><h2>Where to look it up</h2>
<p>Every number comes from the records of the journal ${journal.journal}, which is never changed. <code>postern shots SHOT --history</code> names the records of a shot, <code>postern shots SHOT --budget</code> the terms of its uncertainty, and <code>postern replay</code> reduces the journal again.</p>
${rigFile ? html`<h3>Rig file ${rigFile.fileName}, record ${rigFile.record}</h3><pre>${rigFile.text}</pre>` : undefined}
</section>`;
}
