import { suggest } from '../fault/nearest.ts';
import { err, ok, usage, type Outcome } from '../fault/fault.ts';
import { convert, type Quantity } from '../quantity/quantity.ts';
import { bendAllowance } from './bend-allowance.ts';
import { boltTorque } from './bolt-torque.ts';
import type { Calculation, NamedResult } from './calculation.ts';
import { chart } from './chart.ts';
import { conformanceProbability } from './conformance-probability.ts';
import { conversion } from './convert.ts';
import { cureTime } from './cure-time.ts';
import { dewPoint } from './dew-point.ts';
import { difference } from './difference.ts';
import { edgeDistance } from './edge-distance.ts';
import { equivalentTime } from './equivalent-time.ts';
import { expandedUncertainty } from './expanded-uncertainty.ts';
import { flatLength } from './flat-length.ts';
import { fluidWeight } from './fluid-weight.ts';
import { fuelFlowTime } from './fuel-flow-time.ts';
import { fuelFlow } from './fuel-flow.ts';
import { followedUnit, readInputs, type Inputs } from './inputs.ts';
import { leakRate } from './leak-rate.ts';
import { macPercent } from './mac-percent.ts';
import { maturity } from './maturity.ts';
import { mean } from './mean.ts';
import { mixRatio } from './mix-ratio.ts';
import { mixAmounts } from './mix.ts';
import { pipeThread } from './pipe-thread.ts';
import type { Plot } from './plot.ts';
import { pressureLoss } from './pressure-loss.ts';
import { prevailingTorque } from './prevailing-torque.ts';
import { rivetDiameter } from './rivet-diameter.ts';
import { rivetLength } from './rivet-length.ts';
import { rivetPitch } from './rivet-pitch.ts';
import { scarfLength } from './scarf-length.ts';
import { setback } from './setback.ts';
import { shopHead } from './shop-head.ts';
import { spread } from './spread.ts';
import { sum } from './sum.ts';
import { torqueAtFastener } from './torque-at-fastener.ts';
import { torqueWithAdapter } from './torque-with-adapter.ts';
import { travel } from './travel.ts';
import { weightAndBalance } from './weight-and-balance.ts';
import { own } from '../fault/own.ts';

export interface CalculationResult {
  readonly calculation: string;
  /** The main one first. */
  readonly results: readonly NamedResult[];
  readonly working: string;
  readonly warnings: readonly string[];
  readonly plot?: Plot;
}

const all: readonly Calculation[] = [
  rivetLength,
  rivetDiameter,
  shopHead,
  edgeDistance,
  rivetPitch,
  boltTorque,
  prevailingTorque,
  torqueWithAdapter,
  torqueAtFastener,
  pipeThread,
  mixAmounts,
  mixRatio,
  cureTime,
  equivalentTime,
  maturity,
  dewPoint,
  travel,
  chart,
  bendAllowance,
  setback,
  flatLength,
  scarfLength,
  weightAndBalance,
  macPercent,
  fluidWeight,
  fuelFlowTime,
  fuelFlow,
  pressureLoss,
  leakRate,
  conformanceProbability,
  expandedUncertainty,
  sum,
  mean,
  spread,
  difference,
  conversion,
];

/** Every calculation by its name. */
export const calculations: Readonly<Record<string, Calculation>> = Object.freeze(
  Object.fromEntries(all.map((calculation) => [calculation.name, calculation])),
);

/** A calculation by name, or the fault that names the nearest. */
export const findCalculation = (name: string): Outcome<Calculation> => {
  const found = own(calculations, name);
  if (found !== undefined) return ok(found);
  const near = suggest(name, Object.keys(calculations));
  const todo = near === undefined ? 'see the list of calculations' : `write ${near}, if that is meant`;
  return err(usage('calculation-unknown', `there is no calculation ${name.slice(0, 40)}`, todo));
};

/** Each result in the unit in which an input of its dimension was typed (the first such), else in the source's own. */
const follow = (result: NamedResult, quantities: readonly Quantity[]): NamedResult => ({
  ...result,
  quantity: convert(result.quantity, followedUnit(result.quantity, quantities)),
});

/**
 * Carries out a named calculation. Inputs are quantities, or text as a person types it; several values of one name are
 * `value1`, `value2` (or `value-1`), or a list. A wrong name or input is `usage`; outside the range, `refused`.
 */
export const calculate = (name: string, inputs: Inputs): Outcome<CalculationResult> => {
  const calculation = findCalculation(name);
  if (!calculation.ok) return calculation;
  const read = readInputs(calculation.value, inputs);
  if (!read.ok) return read;
  const answer = calculation.value.compute(read.value.given);
  if (!answer.ok) return answer;
  const quantities = [...read.value.quantities, ...(answer.value.typed ?? [])];
  return ok({
    calculation: name,
    results: answer.value.results.map((result) => follow(result, quantities)),
    working: answer.value.working,
    warnings: answer.value.warnings ?? [],
    ...(answer.value.plot ? { plot: answer.value.plot } : {}),
  });
};
