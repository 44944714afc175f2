/** Rates against numbers of jobs, with the limits within which chance alone keeps a rate. */
import type { AuditView } from '../../contract.ts'
import { marksTo } from './round-marks.ts'

export interface FunnelShape {
  rates: { part: number; y: number }[]
  jobs: { jobs: number; x: number }[]
  mean: number
  /** Points of lines, as SVG writes them; the outer pair is that of 99.8 %. */
  limits: { points: string; outer: boolean }[]
  dots: { name: string; x: number; y: number; group: AuditView['groups'][number] }[]
}

export interface Frame {
  width: number
  height: number
  left: number
  right: number
  top: number
  bottom: number
}

/** Null where there is no job. */
export function shapeFunnel(
  { rate, groups, funnel, jobs }: Omit<AuditView, 'notes'>,
  frame: Frame,
): FunnelShape | null {
  if (jobs === 0) return null
  const { width, height, left, right, top, bottom } = frame
  const most = Math.max(1, funnel.at(-1)?.jobs ?? 1, ...groups.map((group) => group.jobs))
  const rates = marksTo(Math.min(1, Math.max(0.1, rate * 2, ...groups.map((group) => group.rate * 1.1))))
  const highest = rates.at(-1) ?? 1
  const x = (number: number) => round(left + ((width - left - right) * number) / most)
  const y = (part: number) => round(height - bottom - ((height - top - bottom) * Math.min(part, highest)) / highest)
  const line = (limits: 'limits95' | 'limits998', side: 'least' | 'most') => ({
    points: funnel.map((point) => `${x(point.jobs)},${y(point[limits][side])}`).join(' '),
    outer: limits === 'limits998',
  })
  return {
    rates: rates.filter((part) => part <= 1).map((part) => ({ part, y: y(part) })),
    jobs: marksTo(most)
      .filter((number) => number <= most && Number.isInteger(number))
      .map((number) => ({ jobs: number, x: x(number) })),
    mean: y(rate),
    limits: (['least', 'most'] as const).flatMap((side) => [line('limits95', side), line('limits998', side)]),
    dots: groups.map((group) => ({ name: group.name, x: x(group.jobs), y: y(group.rate), group })),
  }
}

const round = (value: number): number => Math.round(value * 10) / 10
