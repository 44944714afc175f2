/** In which steps the values of a log are written. */

/** Speeds are logged in these units, in metres a second: kilometre an hour, mile an hour, knot, metre a second. */
const speedUnits = [1 / 3.6, 0.44704, 1852 / 3600, 1]

/** Decimals of degrees, and of minutes as receivers write them (`ddmm.mmmm`). */
const coordinateSteps = decimalSteps([1, 1 / 60], 2, 9)
const speedSteps = decimalSteps(speedUnits, 0, 3)

function decimalSteps(units: readonly number[], fewest: number, most: number): number[] {
  const decimals = Array.from({ length: most - fewest + 1 }, (_, index) => fewest + index)
  return units.flatMap((unit) => decimals.map((count) => unit / 10 ** count)).sort((a, b) => b - a)
}

/** How far from a whole number of steps a value may lie, in steps: what the arithmetic of reading it leaves. */
const slack = 0.01
/** Nearly all values must fit: some loggers round a few once more. */
const fittingShare = 0.99

/** So many values, taken from all over the log, tell its steps. */
const mostSampled = 2000

/** The coarsest of the steps that nearly all values are multiples of. */
function coarsestStep(all: readonly number[], steps: readonly number[]): number | null {
  const stride = Math.ceil(all.length / mostSampled)
  const values = all.filter((_, index) => index % stride === 0)
  const fits = (step: number) =>
    values.filter((value) => Math.abs(value / step - Math.round(value / step)) < slack).length >=
    values.length * fittingShare
  return steps.find(fits) ?? null
}

/** Degrees in which latitudes or longitudes are written: decimal steps, or those of a number of 32 bits (IEEE 754). */
export function coordinateStep(degrees: readonly number[]): number {
  const decimal = coarsestStep(degrees, coordinateSteps)
  if (decimal !== null && decimal > 1e-8) return decimal
  const greatest = degrees.reduce((most, value) => Math.max(most, Math.abs(value)), 0)
  const isSingle = greatest > 0 && degrees.every((value) => Math.fround(value) === value)
  return isSingle ? 2 ** (Math.floor(Math.log2(greatest)) - 23) : (decimal ?? 1e-9)
}

/** Metres a second in which speeds are written. */
export function speedStep(speeds: readonly number[]): number {
  return coarsestStep(speeds, speedSteps) ?? 0.001
}
