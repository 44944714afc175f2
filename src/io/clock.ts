/** Today's date on the machine's own clock and zone, `YYYY-MM-DD`: the default day of review, and nothing else. */
export function today(now: Date = new Date()): string {
  const pad = (value: number, length: number) => String(value).padStart(length, '0')
  return `${pad(now.getFullYear(), 4)}-${pad(now.getMonth() + 1, 2)}-${pad(now.getDate(), 2)}`
}

/** This moment on the machine's own clock: what signatures and certificates are dated by. */
export const now = (): Date => new Date()
