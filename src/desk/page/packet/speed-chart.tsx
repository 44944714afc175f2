import { Link } from 'wouter'
import { durationText } from '../logic/amounts.ts'
import type { DriveFacts } from '../logic/drive-facts.ts'
import { writePacketAddress } from '../logic/packet-address.ts'
import { marksTo } from '../logic/round-marks.ts'
import type { SpeedShape, Stretch } from '../logic/speed-shape.ts'

const [width, height, left, right, top, bottom] = [720, 300, 44, 12, 12, 34]

interface Props {
  shape: SpeedShape
  facts: DriveFacts
  accession: string
}

/** Speed over time, with the band that a procedure wants, and gaps and stops shaded; all of it in words beneath. */
export function SpeedChart({ shape, facts: { bands, gapSeconds, moments }, accession }: Props) {
  const { runs, gaps, stops, seconds, mostKmh } = shape
  const speeds = marksTo(Math.max(10, mostKmh, ...bands.map(({ most }) => Math.min(most, mostKmh * 1.3))))
  const highest = speeds.at(-1) ?? 1
  const [first, last] = seconds
  const x = (second: number) => left + ((width - left - right) * (second - first)) / Math.max(1, last - first)
  const y = (kmh: number) => height - bottom - ((height - top - bottom) * Math.min(kmh, highest)) / highest
  const shade = (name: string, stretches: readonly Stretch[]) =>
    stretches.map(([from, to]) => (
      <rect
        key={from}
        className={name}
        x={x(from)}
        y={top}
        width={Math.max(1.5, x(to) - x(from))}
        height={height - top - bottom}
      />
    ))
  const times = ({ length }: readonly unknown[]) => (length === 1 ? 'once' : `${length} times`)
  const total = (stretches: readonly Stretch[]) =>
    durationText(stretches.reduce((sum, [from, to]) => sum + to - from, 0))
  return (
    <figure className="chart">
      <svg
        viewBox={`0 0 ${width} ${height}`}
        role="img"
        aria-label="Speed over time; what counts of it is told beneath."
      >
        <defs>
          <pattern id="gap" width="6" height="6" patternUnits="userSpaceOnUse" patternTransform="rotate(45)">
            <line x1="0" x2="0" y1="0" y2="6" />
          </pattern>
        </defs>
        {bands.map(({ of, least, most }) => (
          <rect
            key={of}
            className="wanted"
            x={left}
            width={width - left - right}
            y={y(most)}
            height={Math.max(0, y(least) - y(most))}
          />
        ))}
        {speeds.map((kmh) => (
          <g key={kmh}>
            <line className="axis" x1={left} x2={width - right} y1={y(kmh)} y2={y(kmh)} />
            <text x={left - 6} y={y(kmh) + 4} textAnchor="end">
              {kmh}
            </text>
          </g>
        ))}
        {shade('stop', stops)}
        {shade('gap', gaps)}
        {runs.map((run) => (
          <polyline
            key={run[0]?.second}
            className="speed"
            points={run.map(({ second, kmh }) => `${x(second).toFixed(1)},${y(kmh).toFixed(1)}`).join(' ')}
          />
        ))}
        {bands.flatMap(({ of, least, most }) =>
          [least, most].map((kmh) =>
            kmh > highest ? null : (
              <line key={`${of} ${kmh}`} className="limit" x1={left} x2={width - right} y1={y(kmh)} y2={y(kmh)} />
            ),
          ),
        )}
        {moments.map(({ second, words }, at) => (
          <g key={`${words} ${second}`} className="moment">
            <line x1={x(second)} x2={x(second)} y1={top} y2={height - bottom} />
            <text x={x(second) + 4} y={top + 11}>
              {String.fromCodePoint(65 + (at % 26))}
            </text>
          </g>
        ))}
        {marksTo((last - first) / 60)
          .filter((minute) => minute * 60 <= last - first)
          .map((minute) => (
            <text key={minute} x={x(first + minute * 60)} y={height - bottom + 16} textAnchor="middle">
              {minute}
            </text>
          ))}
        <text x={(left + width - right) / 2} y={height - 4} textAnchor="middle">
          minutes
        </text>
        <text x={left + 4} y={top + 11}>
          km/h
        </text>
      </svg>
      <figcaption>
        Up to {Math.round(mostKmh)} km/h.{' '}
        {bands.map(({ of, least, most, finding }) => (
          <span key={of}>
            Wanted for {of}: {least} to {most} km/h, between the dashed lines (
            <Link href={`/packets/${encodeURIComponent(accession)}${writePacketAddress({ finding })}`}>
              finding no. {finding}
            </Link>
            ).{' '}
          </span>
        ))}
        {moments.map(({ words, finding, second }, at) => (
          <span key={`${words} ${second}`}>
            {String.fromCodePoint(65 + (at % 26))}, at {durationText(second)}: {words} (
            <Link href={`/packets/${encodeURIComponent(accession)}${writePacketAddress({ finding })}`}>
              finding no. {finding}
            </Link>
            ).{' '}
          </span>
        ))}
        {stops.length === 0 ? 'It never stood. ' : `Grey: it stood, ${times(stops)}, ${total(stops)} in all. `}
        {gaps.length === 0
          ? `No gap of more than ${gapSeconds} s.`
          : `Hatched: nothing was logged, ${times(gaps)}, ${total(gaps)} in all.`}
      </figcaption>
    </figure>
  )
}
