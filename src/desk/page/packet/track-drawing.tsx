import { distanceText } from '../logic/amounts.ts'
import type { TrackShape } from '../logic/track-shape.ts'

/** Where it went, as a line on plain ground: nothing is asked of any map. */
export function TrackDrawing({ shape: { width, height, lines, start, end, bar } }: { shape: TrackShape }) {
  const foot = height + 26
  return (
    <figure className="chart ground">
      <svg
        viewBox={`0 0 ${width} ${foot + 6}`}
        role="img"
        aria-label="The track of the drive, north up, with its start and its end."
      >
        {lines.map((line) => (
          <polyline key={line[0]?.join()} className="track" points={line.map((point) => point.join()).join(' ')} />
        ))}
        <circle className="start" cx={start[0]} cy={start[1]} r="9" />
        <rect className="end" x={end[0] - 5} y={end[1] - 5} width="10" height="10" />
        <path className="bar" d={`M12 ${foot - 5} v5 h${bar.length} v-5`} />
        <text x={18 + bar.length} y={foot}>
          {distanceText(bar.metres)}
        </text>
        <path className="bar" d={`M${width - 16} ${foot} v-20 m-4 6 l4 -6 l4 6`} />
        <text x={width - 24} y={foot} textAnchor="end">
          N
        </text>
      </svg>
      <figcaption>The circle is where the drive begins, the square where it ends. North is up.</figcaption>
    </figure>
  )
}
