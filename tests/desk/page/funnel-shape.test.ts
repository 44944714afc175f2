import { describe, expect, test } from 'vitest'
import { shapeFunnel } from '../../../src/desk/page/logic/funnel-shape.ts'

const frame = { width: 640, height: 360, left: 50, right: 10, top: 10, bottom: 40 }
const interval = { least: 0.1, most: 0.6 }
const group = (name: string, jobs: number, rate: number) => ({
  name,
  jobs,
  fails: Math.round(jobs * rate),
  warns: 0,
  rate,
  interval,
  expected: 0.2,
  limits95: interval,
  limits998: interval,
  probability: null,
  standing: 'as-expected' as const,
  findings: [],
  drives: null,
})
const audit = {
  group: 'shop' as const,
  jobs: 60,
  fails: 12,
  rate: 0.2,
  leastJobs: 20,
  funnel: [1, 20, 40].map((jobs) => ({
    jobs,
    limits95: { least: 0.05, most: 0.5 },
    limits998: { least: 0, most: 0.8 },
  })),
  groups: [group('A', 40, 0.1), group('B', 20, 0.4)],
  unnamed: 0,
}

describe('the funnel', () => {
  const shape = shapeFunnel(audit, frame)

  test('more jobs stand further right, and higher rates higher', () => {
    const [a, b] = shape?.dots ?? []
    expect(a?.x).toBeGreaterThan(b?.x ?? 0)
    expect(a?.y).toBeGreaterThan(b?.y ?? 0)
  })

  test('all of it stands within its frame', () => {
    const points =
      shape?.limits.flatMap(({ points: text }) => text.split(' ').map((one) => one.split(',').map(Number))) ?? []
    expect(points).toHaveLength(12)
    for (const [x = 0, y = 0] of points) {
      expect(x).toBeGreaterThanOrEqual(50)
      expect(x).toBeLessThanOrEqual(630)
      expect(y).toBeGreaterThanOrEqual(10)
      expect(y).toBeLessThanOrEqual(320)
    }
  })

  test('no rate beyond all is written, and no part of a job', () => {
    const all = shapeFunnel({ ...audit, rate: 1, groups: [group('A', 3, 1)] }, frame)
    expect(Math.max(...(all?.rates.map(({ part }) => part) ?? [])).valueOf()).toBe(1)
    expect(all?.jobs.every(({ jobs }) => Number.isInteger(jobs))).toBe(true)
  })

  test('nothing where there is no job', () => {
    expect(shapeFunnel({ ...audit, jobs: 0, groups: [], funnel: [] }, frame)).toBeNull()
  })
})
