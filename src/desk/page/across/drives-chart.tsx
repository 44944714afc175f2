import type { AuditView } from '../../contract.ts'
import { durationText } from '../logic/amounts.ts'
import { marksTo } from '../logic/round-marks.ts'

const [width, right, rowHeight, nameWidth] = [640, 16, 26, 190]

/** Lower quartile to upper quartile of each group's drives, with the middle one. */
export function DrivesChart({ groups }: { groups: AuditView['groups'] }) {
  const longest = Math.max(60, ...groups.map(({ drives }) => drives?.quartiles[2] ?? 0)) * 1.1
  const x = (seconds: number) => nameWidth + ((width - nameWidth - right) * seconds) / longest
  const tall = groups.length * rowHeight + 30
  return (
    <figure className="chart">
      <svg
        viewBox={`0 0 ${width} ${tall}`}
        role="img"
        aria-label="How long drives last; the table below has every figure."
      >
        {groups.map(({ name, drives }, at) => {
          const [low, middle, high] = drives?.quartiles ?? [0, 0, 0]
          const y = at * rowHeight + 8
          return (
            <g key={name}>
              <text className="name" x="8" y={y + 13}>
                {name.slice(0, 28)}
              </text>
              <rect
                className="quartiles"
                x={x(low)}
                y={y}
                width={Math.max(2, x(high) - x(low))}
                height={rowHeight - 10}
              >
                <title>
                  {name}: {durationText(low)} to {durationText(high)}
                </title>
              </rect>
              <line className="middle" x1={x(middle)} x2={x(middle)} y1={y - 2} y2={y + rowHeight - 8} />
            </g>
          )
        })}
        {marksTo(longest / 60)
          .filter((minute) => minute * 60 <= longest)
          .map((minute) => (
            <text key={minute} x={x(minute * 60)} y={tall - 8} textAnchor="middle">
              {minute} min
            </text>
          ))}
      </svg>
      <figcaption>Half of a group's drives last as long as its bar says; the stroke is the middle one.</figcaption>
    </figure>
  )
}
