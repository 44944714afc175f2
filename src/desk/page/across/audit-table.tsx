import type { AuditView } from '../../contract.ts'
import { count, durationText, percentText } from '../logic/amounts.ts'
import { Scroller } from '../parts/scroller.tsx'

type Figures = AuditView['groups'][number]

const standings: Record<Exclude<Figures['standing'], 'too-few'>, string> = {
  'as-expected': 'as its work lets expect',
  'more-than-expected': '▲ more than its work lets expect',
  'fewer-than-expected': '▼ fewer than its work lets expect',
}

/** Every figure, by name. */
export function AuditTable({ audit: { groups, leastJobs } }: { audit: AuditView }) {
  return (
    <Scroller className="scroll" label="Figures">
      <table>
        <thead>
          <tr>
            {[
              'Name',
              'Jobs',
              'Fail',
              'Warn',
              'Rate, 95 % interval',
              'Expected',
              'Standing',
              'Fails most often by',
              'Drives',
            ].map((name) => (
              <th key={name} scope="col">
                {name}
              </th>
            ))}
          </tr>
        </thead>
        <tbody>
          {groups.map(
            ({ name, jobs, fails, warns, rate, interval, expected, standing, probability, findings, drives }) => (
              <tr key={name}>
                <th scope="row">{name}</th>
                <td className="number">{jobs}</td>
                <td className="number">{fails}</td>
                <td className="number">{warns}</td>
                <td>
                  {percentText(rate)}, {percentText(interval.least)} to {percentText(interval.most)}
                </td>
                <td className="number">{percentText(expected)}</td>
                <td>
                  {standing === 'too-few' ? `fewer than ${leastJobs} jobs: counted, not compared` : standings[standing]}
                  {probability === null ? '' : ` (p ${probability.toPrecision(2)})`}
                </td>
                <td>{findings.map(({ check, jobs: own }) => `${check} (${own})`).join(', ')}</td>
                <td>{drives === null ? '' : describeDrives(drives)}</td>
              </tr>
            ),
          )}
        </tbody>
      </table>
    </Scroller>
  )
}

function describeDrives({
  count: drives,
  quartiles: [low, middle, high],
  alike,
}: NonNullable<Figures['drives']>): string {
  const same = alike === 0 ? '' : `; ${alike} last to the second as long as another`
  return `${count(drives, 'drive')}: half of them ${durationText(low)} to ${durationText(high)}, the middle one ${durationText(middle)}${same}`
}
