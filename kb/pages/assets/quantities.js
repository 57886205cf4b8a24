/* Reads quantities as a technician writes them, and shows values as the pages do.
 *
 * The grammar is that of kb/quantities, step by step and with the same messages; units, letters and bounds
 * come from there as data (units.js). Whoever changes one side changes the other; the browser tests hold
 * them against each other. Decimals are exact here too: {n, e} stands for n times ten to the power of e.
 */
(function () {
  "use strict";

  const calculations = window.halfsplitCalculations;
  const T = () => calculations.units.tables;
  const NO_BREAK = "\u00a0";

  /* A text is not the quantity it should be: `what` is wrong, and `advice` shows what would be right. */
  class QuantityProblem extends Error {
    constructor(what, advice) {
      super(what);
      this.what = what;
      this.advice = advice;
    }
  }
  const refuse = (what, advice) => { throw new QuantityProblem(what, advice); };

  /* ---- Exact decimals ---- */

  const ZERO = { n: 0n, e: 0 };
  const ten = (power) => 10n ** BigInt(power);

  function decimal(text) {
    const [, sign, whole, fraction, exponent] = /^([+-]?)([0-9]*)\.?([0-9]*)(?:[eE]([+-]?[0-9]+))?$/.exec(text);
    const n = BigInt(whole + fraction || "0");
    return { n: sign === "-" ? -n : n, e: Number(exponent || 0) - fraction.length };
  }

  const ofFloat = (value) => decimal(String(value));
  const toFloat = (x) => Number(`${x.n}e${x.e}`) + 0;
  const scaled = (x, power) => ({ n: x.n, e: x.e + power });
  const times = (x, y) => ({ n: x.n * y.n, e: x.e + y.e });
  const negative = (x) => ({ n: -x.n, e: x.e });
  const size = (x) => (x.n < 0n ? negative(x) : x);

  function plus(x, y) {
    const e = Math.min(x.e, y.e);
    return { n: x.n * ten(x.e - e) + y.n * ten(y.e - e), e };
  }

  function compare(x, y) {
    const { n } = plus(x, negative(y));
    return n < 0n ? -1 : n > 0n ? 1 : 0;
  }

  /* Without trailing zeros; nought has the exponent 0. */
  function plain(x) {
    if (!x.n) return ZERO;
    const digits = x.n.toString();
    const zeros = /0*$/.exec(digits)[0].length;
    return { n: BigInt(digits.slice(0, digits.length - zeros)), e: x.e + zeros };
  }

  /* The place of the first digit: 0 for ones, 1 for tens. */
  const adjusted = (x) => size(x).n.toString().length - 1 + x.e;

  /* Rounded to a multiple of ten to the power of `power`, halves away from nought. */
  function roundedAt(x, power) {
    if (x.e >= power) return x;
    const unit = ten(power - x.e);
    const { n } = size(x);
    const up = (2n * n + unit) / (2n * unit);
    return { n: x.n < 0n ? -up : up, e: power };
  }

  const FLOAT_DIGITS = 17;
  const rounded = (x, digits) => (x.n ? roundedAt(x, adjusted(x) - Math.min(digits, FLOAT_DIGITS) + 1) : ZERO);
  const whole = (x) => roundedAt(x, 0);
  /* Enough digits that what is cut off can't decide a rounding of what is shown. */
  const over = (x, by) => ({ n: (x.n * ten(60)) / by.n, e: x.e - 60 - by.e });

  /* ---- Showing ---- */

  const POWERS = { p: -12, n: -9, "µ": -6, m: -3, "-": 0, k: 3, M: 6, G: 9 };
  const [MINUTE, HOUR, DAY, YEAR] = [60, 3600, 86400, 31557600].map((seconds) => decimal(String(seconds)));

  const isAwkward = (x) => Boolean(x.n) && !(adjusted(x) >= -4 && adjusted(x) < 7);

  function inDigits(x) {
    const { n, e } = plain(x);
    const sign = n < 0n ? "-" : "";
    const digits = size({ n, e }).n.toString();
    if (e >= 0) return sign + digits + "0".repeat(e);
    const padded = digits.padStart(1 - e, "0");
    return `${sign}${padded.slice(0, e)}.${padded.slice(e)}`;
  }

  function inWords(x) {
    const short = plain(x);
    if (!isAwkward(short) || (short.e >= 0 && adjusted(short) < 15)) return inDigits(short);
    const digits = size(short).n.toString();
    const fraction = digits.length > 1 ? `.${digits.slice(1)}` : "";
    return `${short.n < 0n ? "-" : ""}${digits[0]}${fraction}e${adjusted(short)}`;
  }

  const withUnit = (x, unit) => inWords(x) + NO_BREAK + unit;

  function engineering(x, unit, prefixes) {
    if (!x.n) return `0${NO_BREAK}${unit}`;
    const fitting = Array.from(prefixes).filter((letter) => POWERS[letter] <= adjusted(x));
    const letter = fitting.length ? fitting[fitting.length - 1] : prefixes[0];
    const number = scaled(x, -POWERS[letter]);
    if (isAwkward(number)) return withUnit(x, unit);
    return withUnit(number, (letter === "-" ? "" : letter) + unit);
  }

  function physical(exact, dimension, digits) {
    if (dimension === "time" && compare(size(rounded(exact, digits)), times(MINUTE, decimal("2"))) >= 0) {
      return longTime(exact, digits);
    }
    if (dimension === "charge" && compare(size(exact), decimal("3.6")) >= 0) {
      return engineering(rounded(over(exact, HOUR), digits), "Ah", "m-");
    }
    const [unit, prefixes] = T().engineering[dimension];
    const number = rounded(dimension === "mass" ? scaled(exact, 3) : exact, digits);
    if (dimension !== "capacitance") return engineering(number, unit, prefixes);
    const isSmall = compare(size(number), decimal("0.1")) < 0;
    return engineering(number, unit, isSmall ? prefixes.replace("-", "") : "-");
  }

  function ratio(exact, digits) {
    const number = rounded(exact, digits);
    if (number.n && compare(size(number), decimal("1e-4")) < 0) return withUnit(scaled(number, 6), "ppm");
    return withUnit(scaled(number, 2), "%");
  }

  function longTime(exact, digits) {
    const sign = exact.n < 0n ? "-" : "";
    const seconds = size(exact);
    const all = whole(seconds);
    if (compare(all, HOUR) < 0) return sign + twoUnits(all, [MINUTE, "min"], [decimal("1"), "s"]);
    const minutes = times(whole(over(seconds, MINUTE)), MINUTE);
    if (compare(minutes, times(DAY, decimal("2"))) < 0) return sign + twoUnits(minutes, [HOUR, "h"], [MINUTE, "min"]);
    if (compare(seconds, times(YEAR, decimal("2"))) < 0) {
      return sign + withUnit(rounded(over(seconds, DAY), digits), "days");
    }
    return sign + withUnit(rounded(over(seconds, YEAR), digits), "years");
  }

  function twoUnits(seconds, large, small) {
    const all = seconds.n * ten(seconds.e);
    const left = all % large[0].n;
    const first = withUnit({ n: all / large[0].n, e: 0 }, large[1]);
    return left ? `${first} ${withUnit({ n: left / small[0].n, e: 0 }, small[1])}` : first;
  }

  /* `value` (SI) as text, rounded to `digits` significant digits, as kb.quantities.show does. */
  function show(value, dimension, digits = 3) {
    const exact = ofFloat(value);
    if (dimension in T().engineering) return physical(exact, dimension, digits);
    if (dimension === "temperature") return withUnit(rounded(plus(exact, decimal("-273.15")), digits), "°C");
    if (dimension === "ratio") return ratio(exact, digits);
    if (dimension === "number") return inWords(Number.isInteger(value) ? exact : rounded(exact, digits));
    const number = rounded(exact, digits);
    const unit = T().dimensions[dimension][1];
    return withUnit(number, unit === "cents" && compare(size(number), decimal("1")) === 0 ? "cent" : unit);
  }

  function showTolerance(minus, above, digits = 3) {
    const [low, high] = [minus, above].map((part) => inWords(rounded(scaled(ofFloat(part), 2), digits)));
    return low === high ? `±${high}${NO_BREAK}%` : `-${low}/+${high}${NO_BREAK}%`;
  }

  /* ---- The text, tidied ---- */

  const DIGITS = "(?:(?:0|[1-9][0-9]*)(?:\\.[0-9]+)?|\\.[0-9]+)";
  const UNSIGNED = `${DIGITS}(?:[eE][+-]?[0-9]+)?`;
  const NUMBER = new RegExp(`^[+-]?${UNSIGNED}`);
  const ONLY_NUMBER = new RegExp(`^[+-]?${UNSIGNED}$`);
  const REST_OF_NUMBER = /^(?:\s*[.,_'’]?\s*[0-9]|\.)/;
  const UNPRINTABLE = /[\p{C}\p{Zl}\p{Zp}\p{Zs}]/u;

  /* Digits that are none of ours, raised, lowered, in circles and with full stops too. */
  const FOREIGN_DIGIT = new RegExp("[^0-9²³¹\\P{Nd}]|[\\u{2070}\\u{2074}-\\u{2079}\\u{2080}-\\u{2089}\\u{2460}-\\u{2468}"
    + "\\u{2474}-\\u{247c}\\u{2488}-\\u{2490}\\u{24ea}\\u{24f5}-\\u{24fd}\\u{24ff}\\u{2776}-\\u{277e}\\u{2780}-\\u{2788}"
    + "\\u{278a}-\\u{2792}\\u{1369}-\\u{1371}\\u{19da}]", "u");

  const isPrintable = (character) => character === " " || !UNPRINTABLE.test(character);

  function visible(character) {
    if (isPrintable(character)) return character;
    if (/\p{Zs}/u.test(character)) return " ";
    const known = { "\n": "\\n", "\r": "\\r", "\t": "\\t" }[character];
    if (known) return known;
    const hex = character.codePointAt(0).toString(16);
    if (hex.length <= 2) return `\\x${hex.padStart(2, "0")}`;
    return hex.length <= 4 ? `\\u${hex.padStart(4, "0")}` : `\\U${hex.padStart(8, "0")}`;
  }

  function quoted(text) {
    const longest = T().longestQuote;
    const characters = Array.from(text);
    const shown = Array.from(characters.slice(0, longest + 1).map(visible).join(""));
    const isLong = characters.length > longest || shown.length > longest;
    return `"${isLong ? shown.slice(0, longest - 1).join("") + "…" : shown.join("")}"`;
  }

  const dimensionNamed = (name) => {
    const [phrase, unit, exampleUnit, example] = T().dimensions[name];
    return { name, phrase, unit, exampleUnit, example };
  };
  const exampleFor = (dimension) => (dimension === null ? "10 ms" : dimensionNamed(dimension).example);

  function tidied(text, example) {
    if (Array.from(text).length > T().longestText) refuse(`${quoted(text)} is too long for a quantity`, `write for example "${example}"`);
    const replaced = Array.from(text).map((character) => T().lookalikes[character] ?? character).join("");
    const clean = replaced.replace(/^[ \r\n]+|[ \r\n]+$/g, "");
    if (!clean) refuse("the text is empty", `write for example "${example}"`);
    if (!Array.from(clean).every(isPrintable)) refuse(`${quoted(text)} contains a control character`, "write it again on one line");
    if (FOREIGN_DIGIT.test(clean)) refuse(`${quoted(text)} has digits of another script`, "write it with the digits 0 to 9");
    return clean;
  }

  function splitNumber(text) {
    const found = NUMBER.exec(text);
    if (!found) return null;
    const rest = text.slice(found[0].length);
    return REST_OF_NUMBER.test(rest) ? null : [found[0], rest.trim()];
  }

  const isNumber = (text) => ONLY_NUMBER.test(text);

  function numberOf(text) {
    const { longestNumber, largestExponent } = T();
    if (text.length > longestNumber) refuse(`the number ${quoted(text)} is too long`, `write it with at most ${longestNumber} characters`);
    const exponent = text.split(/[eE]/)[1];
    if (exponent && Math.abs(Number(exponent)) > largestExponent) {
      refuse(`the exponent in ${quoted(text)} is out of range`, `write an exponent from -${largestExponent} to ${largestExponent}`);
    }
    return decimal(text);
  }

  const BROKEN = [
    [/^([+-]?[0-9]+)_([0-9_]+)/, "an underscore in the number", (m) => m[1] + m[2]],
    [/^([+-]?[0-9]+),([0-9]+)(?![0-9.,])/, "a decimal comma", (m) => `${m[1]}.${m[2]}`],
    [/^([+-]?[0-9]{1,3})[,'’_ ]([0-9]{3})[,'’_ ]([0-9]{3})(?![0-9])/, "thousands separators", (m) => m[1] + m[2] + m[3]],
    [/^([+-]?[0-9]{1,3})[,'’_ ]([0-9]{3})(?![0-9])/, "a thousands separator", (m) => m[1] + m[2]],
    [/^([+-]?)0+(?=[0-9])/, "leading zeros", (m) => m[1]],
    [/^([+-]?[0-9]+)\.(?![0-9])/, "a decimal point without digits after it", (m) => m[1]],
    [/^([+-])\s+(?=[0-9.])/, "a blank after the sign", (m) => m[1]],
  ];

  function refuseBrokenNumber(text, example) {
    if (splitNumber(text)) return;
    const grouped = /^([+-]?[1-9][0-9]{0,2}),([0-9]{3})(?![0-9.,])/.exec(text);
    if (grouped) {
      const rest = text.slice(grouped[0].length);
      const [thousands, decimals] = ["", "."].map((mark) => quoted(grouped[1] + mark + grouped[2] + rest));
      refuse(`${quoted(text)} has a comma that may part thousands or decimals`, `write ${thousands} or ${decimals}`);
    }
    for (const [pattern, what, right] of BROKEN) {
      const found = pattern.exec(text);
      if (found) refuse(`${quoted(text)} has ${what}`, `write ${quoted(right(found) + text.slice(found[0].length))}`);
    }
    if (/^[+-]?[0-9.]/.test(text)) refuse(`${quoted(text)} does not start with a plain number`, `write for example "${example}"`);
    refuse(`${quoted(text)} has no number`, `write for example "${example}"`);
  }

  /* ---- Tolerances ---- */

  const SYMMETRIC = /±|\+\/-|\+-|-\/\+/;
  const TWO_SIDED = new RegExp(`([-+])\\s*(${UNSIGNED})\\s*(%|ppm)?\\s*[/,]?\\s*([-+])\\s*(${UNSIGNED})\\s*(%|ppm)$`);
  const AMOUNT = new RegExp(`^(${UNSIGNED})\\s*(%|ppm)$`);
  const UNMARKED = new RegExp(`^(.*\\S)\\s+(${UNSIGNED}\\s*(?:%|ppm))$`);
  const TOLERANCE_POWER = { "%": -2, ppm: -6 };

  function checkedTolerance(minus, above, text) {
    const { largestMinus, largestPlus } = T();
    if (compare(minus, decimal(String(largestMinus))) > 0) {
      refuse(`the tolerance in ${quoted(text)} goes below -100 %`, 'write a smaller one, for example "±20 %"');
    }
    if (compare(above, decimal(String(largestPlus))) > 0) {
      refuse(`the tolerance in ${quoted(text)} goes above +200 %`, 'write a smaller one, for example "-20/+80 %"');
    }
    return { minus, plus: above };
  }

  const malformed = (text, head) =>
    refuse(`the tolerance in ${quoted(text)} cannot be read`, `write ${quoted(`${head} ±5 %`)} or the like`);

  function splitTolerance(text) {
    const found = SYMMETRIC.exec(text);
    if (found) return symmetric(text, text.slice(0, found.index).trim(), text.slice(found.index + found[0].length).trim());
    const two = TWO_SIDED.exec(text);
    if (two && two.index > 0) {
      const head = text.slice(0, two.index).trim();
      if (two[1] === two[4]) malformed(text, head);
      const one = scaled(numberOf(two[2]), TOLERANCE_POWER[two[3] || two[6]]);
      const other = scaled(numberOf(two[5]), TOLERANCE_POWER[two[6]]);
      const [minus, above] = two[1] === "-" ? [one, other] : [other, one];
      return { head, relative: checkedTolerance(minus, above, text), absolute: "" };
    }
    const unmarked = UNMARKED.exec(text);
    if (unmarked) refuse(`${quoted(text)} has a tolerance without a sign`, `write ${quoted(`${unmarked[1]} ±${unmarked[2]}`)}`);
    return { head: text, relative: null, absolute: "" };
  }

  function symmetric(text, head, amount) {
    if (!head) refuse(`${quoted(text)} has a tolerance but no value`, "write the value before it");
    if (!/^[0-9.]/.test(amount)) malformed(text, head);
    const found = AMOUNT.exec(amount);
    if (!found) {
      if (amount.includes("%") || SYMMETRIC.test(amount)) malformed(text, head);
      return { head, relative: null, absolute: amount };
    }
    const fraction = scaled(numberOf(found[1]), TOLERANCE_POWER[found[2]]);
    return { head, relative: checkedTolerance(fraction, fraction, text), absolute: "" };
  }

  /* ---- Everything a text can mean ---- */

  const LETTER = "[RkKMGLpnuµmFV]";
  const WHOLE = "(?:0|[1-9][0-9]*)";
  const CODE = new RegExp(`^(${WHOLE}?)(${LETTER})([0-9]+)([A-Z]?)$`);
  const BARE = new RegExp(`^(${WHOLE})(${LETTER})([A-Z])$`);
  const PART = `(${UNSIGNED})\\s*(days?|years?|min|h|s)(?![A-Za-z])`;
  const LONG_TIME = new RegExp(`^([+-]?)(${PART}(?:\\s*${PART})+)$`);
  const own = (table, key) => (Object.hasOwn(table, key) ? table[key] : undefined);

  function readMarking(text) {
    const { percentLetters, codeLetters, bareLetters, units } = T();
    let found = CODE.exec(text);
    if (found && (!found[4] || own(percentLetters, found[4]))) {
      return markings(text, `${found[1] || "0"}.${found[3]}`, found[2], found[4], codeLetters);
    }
    found = BARE.exec(text);
    if (found && own(percentLetters, found[3]) && !own(units, found[2] + found[3])) {
      return markings(text, found[1], found[2], found[3], bareLetters);
    }
    return [];
  }

  function markings(text, number, letter, last, letters) {
    return Object.entries(letters).filter(([, powers]) => letter in powers).map(([dimension, powers]) => {
      const value = scaled(numberOf(number), powers[letter]);
      return { value, dimension, tolerance: codedTolerance(text, last, value, dimension), unit: null };
    });
  }

  function codedTolerance(text, letter, value, dimension) {
    if (!letter) return null;
    const start = text.slice(0, -1);
    const advice = `write ${quoted(start)} with the tolerance in %, for example "${start} ±5 %"`;
    if (dimension === "voltage") refuse(`${quoted(text)} ends in ${letter}, which is no tolerance of a voltage`, advice);
    if (letter === "F" && dimension === "capacitance") refuse(`the F at the end of ${quoted(text)} may mean farad or ±1 %`, advice);
    const { picofaradLetters, percentLetters } = T();
    const isTiny = dimension === "capacitance" && value.n > 0n && compare(value, decimal("10e-12")) < 0;
    const fraction = letter in picofaradLetters && isTiny
      ? over(scaled(decimal(picofaradLetters[letter]), -12), value)
      : scaled(decimal(percentLetters[letter]), -2);
    return checkedTolerance(fraction, fraction, text);
  }

  function toSi(number, unit) {
    const value = times(number, decimal(unit[1]));
    return unit[2] ? plus(decimal(unit[2]), value) : value;
  }

  function withUnitReadings(text) {
    const parts = splitNumber(text);
    if (!parts || !parts[1]) return [];
    const number = numberOf(parts[0]);
    const spelling = parts[1];
    const readings = Object.entries(T().bareLetters).filter(([, letters]) => own(letters, spelling) !== undefined)
      .map(([dimension, letters]) => ({ value: scaled(number, letters[spelling]), dimension, tolerance: null, unit: null }));
    const unit = own(T().units, spelling);
    if (unit) readings.push({ value: toSi(number, unit), dimension: unit[0], tolerance: null, unit: spelling });
    return readings;
  }

  function longTimeReadings(text) {
    const found = LONG_TIME.exec(text);
    if (!found) return [];
    const parts = Array.from(found[2].matchAll(new RegExp(PART, "g")), (part) => [numberOf(part[1]), T().units[part[2]]]);
    const one = decimal("1");
    for (let at = 1; at < parts.length; at += 1) {
      const wholeOne = toSi(one, parts[at - 1][1]);
      const [amount, smaller] = parts[at];
      if (compare(toSi(one, smaller), wholeOne) >= 0 || compare(toSi(amount, smaller), wholeOne) >= 0) return [];
    }
    const seconds = parts.map((part) => toSi(...part)).reduce(plus, ZERO);
    return [{ value: found[1] === "-" ? negative(seconds) : seconds, dimension: "time", tolerance: null, unit: null }];
  }

  function readAll(text) {
    const bare = isNumber(text)
      ? ["number", "ratio"].map((dimension) => ({ value: numberOf(text), dimension, tolerance: null, unit: null })) : [];
    return [...readMarking(text), ...bare, ...withUnitReadings(text), ...longTimeReadings(text)];
  }

  /* ---- Complaints ---- */

  const CODE_START = /^0*([0-9]*)([RrkKMGLpnuµmF])([0-9]+)/;

  function numberAndLetter(text) {
    const code = /^([0-9]*)([kKMGpnuµm])([0-9]+)$/.exec(text);
    if (code) return [`${code[1] || "0"}.${code[3]}`, code[2]];
    const [number, letter] = splitNumber(text) || ["", ""];
    return letterPower(letter) === undefined ? ["", ""] : [number, letter];
  }

  function letterPower(letter) {
    if (letter === "R") return undefined;
    const found = Object.values(T().bareLetters).map((letters) => own(letters, letter)).filter((power) => power !== undefined);
    return found[found.length - 1];
  }

  const like = (wanted) => `write for example "${wanted.example}"`;

  function multiplied(wanted, number, letter) {
    if (wanted.name === "number") return `write "${fixed(scaled(decimal(number), letterPower(letter)))}"`;
    const unit = letter.replace("K", "k") + wanted.unit;
    const known = own(T().units, unit);
    return known && known[0] === wanted.name ? `write "${number} ${unit}"` : like(wanted);
  }

  /* Every digit that was written, trailing zeros included. */
  function fixed(x) {
    if (x.e >= 0) return x.n.toString() + (x.n ? "0".repeat(x.e) : "");
    const digits = size(x).n.toString().padStart(1 - x.e, "0");
    return `${x.n < 0n ? "-" : ""}${digits.slice(0, x.e)}.${digits.slice(x.e)}`;
  }

  function refuseDimension(text, reading, dimension) {
    const wanted = dimensionNamed(dimension);
    if (isNumber(text)) refuse(`${quoted(text)} has no unit`, `write for example "${text} ${wanted.exampleUnit}"`);
    const [number, letter] = numberAndLetter(text);
    if (letter) {
      const lack = dimension === "number" ? "is not" : "has a multiplier but no unit, expected";
      refuse(`${quoted(text)} ${lack} ${wanted.phrase}`, multiplied(wanted, number, letter));
    }
    const found = dimensionNamed(reading.dimension).phrase;
    refuse(`${quoted(text)} is ${found}, expected ${wanted.phrase}`, rightFor(text, reading, wanted));
  }

  function rightFor(text, reading, wanted) {
    const marked = /^([0-9]+)([pnuµmkM])([A-Z])$/.exec(text);
    if (marked && own(T().bareLetters[wanted.name] || {}, marked[2]) !== undefined) {
      return `write the tolerance in %, for example "${marked[1]}${marked[2]} ±5 %"`;
    }
    if (wanted.name === "temperature" && text.endsWith("C")) return `write "${text.slice(0, -1).trim()} °C"`;
    if (wanted.name === "number" && reading.dimension === "ratio") return `write "${inDigits(reading.value)}"`;
    return like(wanted);
  }

  function refuseUnknown(text, dimension) {
    if (LONG_TIME.test(text)) refuse(`${quoted(text)} has its units out of order, or one amount too large`, 'write for example "4 min 10 s"');
    const code = CODE_START.exec(text);
    if (code) refuseCode(text, code, dimension);
    refuseBrokenNumber(text, exampleFor(dimension));
    const [number, unit] = splitNumber(text) || [text, ""];
    const what = `${quoted(text)} has an unknown unit ${quoted(unit)}`;
    const nearest = nearestUnits(unit, dimension).map((near) => quoted(`${number} ${near}`));
    refuse(what, nearest.length ? `did you mean ${nearest.join(" or ")}?` : `write for example "${exampleFor(dimension)}"`);
  }

  function refuseCode(text, found, dimension) {
    const letter = found[2].replace("r", "R");
    const code = (found[1] || "0") + letter + found[3];
    const rest = text.slice(found[0].length);
    const what = rest ? `${quoted(text)} goes on after the code ${quoted(found[0])}` : `${quoted(text)} is no code that is read here`;
    if (dimension !== null && own(T().codeLetters[dimension] || {}, letter) === undefined) {
      const [number, multiplier] = numberAndLetter(code);
      const wanted = dimensionNamed(dimension);
      refuse(what, multiplier ? multiplied(wanted, number, multiplier) : like(wanted));
    }
    if (/^[A-Za-z]+$/.test(rest)) refuse(what, `write ${quoted(code)}, or a tolerance in %: ${quoted(`${code} ±5 %`)}`);
    refuse(what, `write ${quoted(code)}`);
  }

  /* By a known slip or by letter case; likeness beyond that is left to the command. */
  function nearestUnits(unit, dimension) {
    const fitting = Object.entries(T().units).filter(([, known]) => dimension === null || known[0] === dimension).map(([spelling]) => spelling);
    const slip = own(T().misspellings, unit.toLowerCase());
    if (fitting.includes(slip) || (slip === "R" && (dimension === null || dimension === "resistance"))) return [slip];
    const same = fitting.filter((spelling) => spelling.toLowerCase() === unit.toLowerCase());
    const first = unit.slice(0, 1);
    const isCapital = first !== first.toLowerCase();
    const capital = same.filter((spelling) => isCapital && spelling[0] === first);
    return capital.length ? capital : same.slice(0, 2);
  }

  /* ---- Reading ---- */

  function readAs(text, dimension) {
    const readings = readAll(text);
    if (!readings.length) refuseUnknown(text, dimension);
    if (dimension === null) return onlyOne(text, readings);
    return readings.find((reading) => reading.dimension === dimension)
      || refuseDimension(text, readings[readings.length - 1], dimension);
  }

  function onlyOne(text, readings) {
    const by = new Map(readings.map((reading) => [reading.dimension, reading]));
    const isPair = (...names) => by.size === 2 && names.every((name) => by.has(name));
    if (isPair("number", "ratio")) return by.get("number");
    if (isPair("length", "capacitance")) return by.get("length");
    if (isPair("temperature", "resistance") && !text.includes(" ")) return by.get("resistance");
    if (by.size > 1 || readings[0].unit === "C") refuseAmbiguous(text);
    return readings[0];
  }

  function refuseAmbiguous(text) {
    const number = text.slice(0, -1).trim();
    if (text.endsWith("C")) refuse(`${quoted(text)} may be a temperature or a charge`, `write "${number} °C" or "${number} coulomb"`);
    refuse(`${quoted(text)} may be a temperature or a resistance`, `write the temperature in °C, or "${number} kohm"`);
  }

  const bothLimits = (dimension) =>
    `give both limits where a range is asked for, for example "${T().withoutRelativeTolerance[dimension]}"`;

  function toleranceOf(clean, split, reading) {
    if (!split.relative) return reading.tolerance;
    if (reading.tolerance) refuse(`${quoted(clean)} gives the tolerance twice`, "leave out the letter or the percentage");
    if (own(T().withoutRelativeTolerance, reading.dimension)) {
      refuse(`${quoted(clean)} puts a relative tolerance on ${dimensionNamed(reading.dimension).phrase}`, bothLimits(reading.dimension));
    }
    return split.relative;
  }

  function refuseAbsolute(clean, split, reading) {
    if (isNumber(split.absolute) && !["number", "ratio"].includes(reading.dimension)) {
      refuse(`the tolerance in ${quoted(clean)} has no unit`, `write ${quoted(`${split.head} ±${split.absolute} %`)}`);
    }
    const what = `the tolerance in ${quoted(clean)} is not in %`;
    if (own(T().withoutRelativeTolerance, reading.dimension)) refuse(what, bothLimits(reading.dimension));
    const amount = readAs(split.absolute, reading.dimension);
    if (amount.value.n <= 0n || compare(amount.value, size(reading.value)) > 0) {
      refuse(what, `write ${quoted(`${split.head} ±5 %`)} or the like`);
    }
    const fraction = toFloat(over(amount.value, size(reading.value)));
    refuse(what, `write ${quoted(`${split.head} ${showTolerance(fraction, fraction)}`)}`);
  }

  /* Read `text` as a quantity of `dimension`, or of whatever its unit says when that is null. */
  function read(text, dimension) {
    const clean = tidied(text, exampleFor(dimension));
    const split = splitTolerance(clean);
    const reading = readAs(split.head, dimension);
    if (split.absolute) refuseAbsolute(clean, split, reading);
    const tolerance = toleranceOf(clean, split, reading);
    const [minus, above] = tolerance ? [toFloat(tolerance.minus), toFloat(tolerance.plus)] : [0, 0];
    return { value: toFloat(reading.value), dimension: reading.dimension, minus, plus: above, hasTolerance: minus > 0 || above > 0 };
  }

  /* The tolerance alone, as an input asks for it: "5 %", "±5 %", "-20/+80 %". */
  function readTolerance(text) {
    return read(`1 ohm ${/^[±+\-−]/.test(text) ? text : `±${text}`}`, "resistance");
  }

  calculations.quantities = { QuantityProblem, read, readTolerance, show, showTolerance, quoted };
})();
