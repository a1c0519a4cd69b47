/** Where the sight pointed, where the shots struck, and what to hold next. */
import { formatParts } from '../../../host/units/index.ts';
import type { ImpactsEvent, Shot } from '../../../protocol/index.ts';
import { impacts } from '../state/crew.ts';
import { token } from '../state/keys.ts';
import { units } from '../state/preferences.ts';
import { shots } from '../state/shots.ts';
import { excludedText } from '../text/impacts-text.ts';
import { oneLine } from '../text/result-text.ts';
import { pointText, sideText, sizeText, TARGET_UNIT } from '../text/target-length.ts';
import { AimForm, ImpactForm } from './aim-forms.tsx';
import { Fact } from './fact.tsx';
import { ImpactTable } from './impact-table.tsx';
import { TargetDrawing } from './target-drawing.tsx';

export function AimPanel() {
  const told = impacts.value;
  const newest = shots.value.find(({ targetDropM }) => targetDropM !== undefined);
  return (
    <section class="panel aim-panel" id="aim" aria-labelledby="aim-title">
      <h2 id="aim-title">Aim and impact</h2>
      <div class="aim-sight">
        <TargetDrawing told={told} dropM={newest?.targetDropM?.value} />
        <AimFacts told={told} newest={newest} />
      </div>
      {token.value !== undefined && (
        <>
          <AimForm />
          <ImpactForm />
        </>
      )}
      {told && told.impacts.length > 0 && <ImpactTable impacts={told.impacts} />}
    </section>
  );
}

function AimFacts({ told, newest }: { readonly told: ImpactsEvent | undefined; readonly newest: Shot | undefined }) {
  const system = units.value;
  const { impacts: struck = [], mean, spreadM, holdNext, aim } = told ?? {};
  const left = excludedText(struck);
  return (
    <dl class="facts">
      {left !== '' && <Fact name="Left out">{left}, not in mean, spread or hold</Fact>}
      <Fact name="Hold next">{holdNext && <b>{pointText(holdNext, system)}</b>}</Fact>
      <Fact name="Mean, from the sight">
        {mean &&
          `${sideText(mean.rightM.value, ['right', 'left'], system)} ± ${sizeText(mean.rightM.expandedUncertainty, system)}, ${sideText(
            mean.upM.value,
            ['high', 'low'],
            system,
          )} ± ${sizeText(mean.upM.expandedUncertainty, system)}`}
      </Fact>
      <Fact name="Spread of one shot">
        {spreadM && `${sizeText(spreadM.right, system)} sideways, ${sizeText(spreadM.up, system)} upright (1 σ)`}
      </Fact>
      <Fact name="Sight set">{aim && pointText(aim, system)}</Fact>
      <Fact name="Predicted drop">{newest?.targetDropM && `${dropText(newest)} at the target, by shot ${newest.number}`}</Fact>
    </dl>
  );

  function dropText({ targetDropM }: Shot): string {
    if (!targetDropM) return '';
    const { symbol, fromM } = TARGET_UNIT[system];
    const { value, uncertainty } = formatParts(fromM(targetDropM.value), fromM(targetDropM.expandedUncertainty), 'number', system);
    return oneLine({ value, uncertainty, symbol });
  }
}
