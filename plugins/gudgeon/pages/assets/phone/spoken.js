/* What was said, in figures: gudgeon/entry/spoken.py once more, name by name and word by word. The tests run both on the same words. */
(function (root) {
  "use strict";
  const gudgeon = (root.gudgeon = root.gudgeon || {});

  class NotClear extends Error {}

  const numbered = (words, first, step) => Object.fromEntries(words.split(" ").map((word, at) => [word, first + at * step]));
  const DIGITS = { zero: "0", nought: "0", oh: "0" };
  for (const [word, digit] of Object.entries(numbered("one two three four five six seven eight nine", 1, 1))) DIGITS[word] = String(digit);
  const TEENS = numbered("ten eleven twelve thirteen fourteen fifteen sixteen seventeen eighteen nineteen", 10, 1);
  const TENS = numbered("twenty thirty forty fifty sixty seventy eighty ninety", 20, 10);
  const PARTS = { half: 2, halves: 2, quarter: 4, quarters: 4, eighth: 8, eighths: 8, sixteenth: 16, sixteenths: 16 };
  const LONG_PARTS = { "thirty second": 32, "thirty seconds": 32, "sixty fourth": 64, "sixty fourths": 64 };
  const UNITS = { thousandths: "thou", thousandth: "thou", thous: "thou", slash: "/", dash: "-", over: "/" };
  const has = (table, word) => Object.hasOwn(table, word);

  const isNumber = (word) => [DIGITS, TEENS, TENS, PARTS].some((table) => has(table, word.toLowerCase())) || word.toLowerCase() === "double";

  /* "thirty-two," as two words and a comma; any other as it is. */
  function apart(word) {
    const bare = word.replace(/[,;]+$/, "");
    const parts = bare.split("-");
    if (!parts.every(isNumber)) return [word];
    return bare === word ? parts : [...parts, ","];
  }

  /* The words with numbers in figures where any is said. Throws NotClear. */
  function inFigures(words) {
    const single = words.flatMap(apart);
    return single.some(isNumber) ? new Said(single).inFigures() : single;
  }

  /* Words taken from the front. */
  class Said {
    constructor(words) {
      this.words = words;
      this.at = 0;
      this.out = [];
    }

    next(ahead = 0) {
      const place = this.at + ahead;
      return place < this.words.length ? this.words[place].toLowerCase() : "";
    }

    inFigures() {
      while (this.at < this.words.length) {
        const number = this.number();
        if (number !== null) {
          this.out.push(...number);
          continue;
        }
        const word = this.words[this.at];
        this.at += 1;
        if (word.toLowerCase() === "and" && this.out.length) continue; // between two readings
        this.out.push(has(UNITS, word.toLowerCase()) ? UNITS[word.toLowerCase()] : word);
      }
      return joined(this.out);
    }

    /* The number that begins here, as the words of a line; null where none does. */
    number() {
      const fraction = this.fraction();
      if (fraction) return [fraction];
      const digits = this.digitsRun();
      let whole;
      if (digits !== null) {
        const [run, saidOh, count] = digits;
        whole = run;
        if (this.next() === "point") {
          if (count > 1 && !saidOh) this.refuse(whole);
          return [`${whole}.${this.decimals()}`];
        }
        if (count > 1) this.refuse(whole);
      } else if (this.next() === "point" && (has(DIGITS, this.next(1)) || isFigures(this.next(1)))) {
        return [`.${this.decimals()}`];
      } else {
        const tens = this.underHundred();
        if (tens === null) return null;
        whole = String(tens);
      }
      if (this.next() === "hundred") {
        this.at += 1;
        const hundreds = Number(whole) * 100;
        if (this.next() === "and") this.at += 1;
        let rest = this.underHundred();
        if (rest === null && has(DIGITS, this.next())) {
          rest = Number(DIGITS[this.next()]);
          this.at += 1;
        }
        whole = String(hundreds + (rest || 0));
      }
      if (this.next() === "point") return [`${whole}.${this.decimals()}`];
      const here = this.at;
      if (this.next() === "and") {
        this.at += 1;
        const part = this.fraction();
        if (part) return [whole, part];
        this.at = here;
      }
      return [whole];
    }

    /* "three quarters", "a half", "thirteen thirty seconds". */
    fraction() {
      const start = this.at;
      let over;
      if (["a", "an"].includes(this.next())) {
        this.at += 1;
        over = 1;
      } else if (["half", "quarter"].includes(this.next())) over = 1;
      else if (has(DIGITS, this.next())) {
        over = Number(DIGITS[this.next()]);
        this.at += 1;
      } else over = this.underHundred(true);
      if (over) {
        if (has(PARTS, this.next())) {
          const under = PARTS[this.next()];
          this.at += 1;
          return `${over}/${under}`;
        }
        const long = `${this.next()} ${this.next(1)}`;
        if (has(LONG_PARTS, long)) {
          this.at += 2;
          return `${over}/${LONG_PARTS[long]}`;
        }
      }
      this.at = start;
      return null;
    }

    /* "twelve", "ninety", "twenty four". beforeAPart: the tens may belong to the part, as in "nine thirty seconds". */
    underHundred(beforeAPart = false) {
      const word = this.next();
      if (has(TEENS, word)) {
        this.at += 1;
        return TEENS[word];
      }
      if (!has(TENS, word) || (beforeAPart && has(LONG_PARTS, `${word} ${this.next(1)}`))) return null;
      this.at += 1;
      const unit = this.next();
      const counts = has(DIGITS, unit) && DIGITS[unit] !== "0";
      if (counts && this.next(1) !== "point" && !has(PARTS, this.next(1))) {
        this.at += 1;
        return TENS[word] + Number(DIGITS[unit]);
      }
      if (counts && this.next(1) === "point") {
        if (!this.out.length || !/[0-9]$/.test(this.out[this.out.length - 1])) {
          this.at += 1;
          return TENS[word] + Number(DIGITS[unit]);
        }
        throw new NotClear(`"${word} ${unit} point": is ${word} a number of its own? Say "${word} degrees", or write the line in figures.`);
      }
      return TENS[word];
    }

    /* Figures said one by one, whether one was "oh" or "double", how many; null where none is said. */
    digitsRun() {
      let run = "";
      let odd = false;
      for (;;) {
        if (this.next() === "double" && has(DIGITS, this.next(1))) {
          run += DIGITS[this.next(1)].repeat(2);
          odd = true;
          this.at += 2;
        } else if (has(DIGITS, this.next()) && !this.partFollows()) {
          odd = odd || (this.next() === "oh" && run !== "");
          run += DIGITS[this.next()];
          this.at += 1;
        } else return run ? [run, odd, run.length] : null;
      }
    }

    /* Whether the figure here counts quarters or the like. */
    partFollows() {
      return has(PARTS, this.next(1)) || has(LONG_PARTS, `${this.next(1)} ${this.next(2)}`);
    }

    /* What stands behind "point", to where it surely ends. */
    decimals() {
      this.at += 1;
      if (isFigures(this.next())) {
        this.at += 1;
        return this.words[this.at - 1];
      }
      const digits = this.digitsRun();
      if (digits === null) {
        const tens = this.underHundred();
        if (tens === null) throw new NotClear('"point" with no figure behind it. Say it like: four point two four five six.');
        return String(tens);
      }
      const [run] = digits;
      if (["degree", "degrees"].includes(this.next()))
        throw new NotClear(`"point ${[...run].join(" ")} degrees": where does the angle begin? Say "angle" before it.`);
      if (this.next() === "point") throw new NotClear('where does one reading end? Say "and" between two readings.');
      return run;
    }

    refuse(run) {
      const spelled = this.words.slice(Math.max(0, this.at - run.length), this.at).join(" ");
      throw new NotClear(
        `"${spelled}" could be one number or several. Say the point of a size (four point two five), and "degrees" behind ` +
          "an angle, or write the line in figures.",
      );
    }
  }

  /* Figures that dictation has written already. */
  const isFigures = (word) => /^[0-9]{1,8}$/.test(word);

  /* 24 / 16 as one word, and a comma at the word before it. */
  function joined(words) {
    const out = [];
    for (const word of words) {
      if (out.length && (["/", ","].includes(word) || out[out.length - 1].endsWith("/"))) out[out.length - 1] += word;
      else out.push(word);
    }
    return out;
  }

  Object.assign(gudgeon, { NotClear, inFigures });
  if (typeof module !== "undefined") module.exports = gudgeon;
})(globalThis);
