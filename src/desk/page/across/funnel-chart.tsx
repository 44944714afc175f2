import type { AuditView } from '../../contract.ts'
import { percentText } from '../logic/amounts.ts'
import { shapeFunnel } from '../logic/funnel-shape.ts'

const frame = { width: 640, height: 360, left: 52, right: 16, top: 16, bottom: 40 }

/** Rate against number of jobs, with the limits within which chance alone keeps a rate. */
export function FunnelChart({ audit }: { audit: AuditView }) {
  const shape = shapeFunnel(audit, frame)
  if (shape === null) return null
  const { width, height, left, right, bottom } = frame
  return (
    <figure className="chart">
      <svg
        viewBox={`0 0 ${width} ${height}`}
        role="img"
        aria-label="Rate of jobs that fail against number of jobs; the table below has every figure."
      >
        {shape.rates.map(({ part, y }) => (
          <g key={part}>
            <line className="axis" x1={left} x2={width - right} y1={y} y2={y} />
            <text x={left - 6} y={y + 4} textAnchor="end">
              {Math.round(part * 1000) / 10} %
            </text>
          </g>
        ))}
        <line className="mean" x1={left} x2={width - right} y1={shape.mean} y2={shape.mean} />
        {shape.limits.map(({ points, outer }) => (
          <polyline key={points} className={outer ? 'limit outer' : 'limit'} points={points} />
        ))}
        {shape.jobs.map(({ jobs, x }) => (
          <text key={jobs} x={x} y={height - bottom + 16} textAnchor="middle">
            {jobs}
          </text>
        ))}
        <text x={(left + width - right) / 2} y={height - 6} textAnchor="middle">
          jobs
        </text>
        {shape.dots.map(({ name, x, y, group: { standing, rate, jobs } }) => {
          const isNamed = standing === 'more-than-expected' || standing === 'fewer-than-expected'
          return (
            <g key={name}>
              <circle className={`dot ${standing}`} cx={x} cy={y} r="4.5">
                <title>
                  {name}: {percentText(rate)} of {jobs}
                </title>
              </circle>
              {isNamed ? (
                <text className="name" x={x + 8} y={y - 7}>
                  {name}
                </text>
              ) : null}
            </g>
          )
        })}
      </svg>
      <figcaption>
        A circle is one of the groups; filled and named where its rate is not what its work lets expect. Between the
        lines, chance alone keeps 95 % of rates, and between the dashed ones 99.8 %, where all did the same work.
      </figcaption>
    </figure>
  )
}
