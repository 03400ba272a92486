"use strict";
(() => {
  const page = document.getElementById("page");
  const state = document.getElementById("state");
  const said = document.getElementById("said");
  const form = document.getElementById("filter");
  const choice = document.getElementById("group");
  const words = page.dataset;
  const complete = words.complete === "yes";
  const sections = [...document.querySelectorAll("section[data-section]")];

  /* filter */
  const shown = () => (choice && choice.value ? choice.value : "");
  const tidy = () => {
    for (const section of sections) {
      const rows = [...section.querySelectorAll(".row")];
      let count = 0;
      for (const row of rows) {
        row.hidden = shown() !== "" && row.dataset.group !== shown();
        if (!row.hidden) count += Number(row.dataset.fixings);
      }
      if (complete || shown() !== "") tell(section.dataset.section, count);
      section.classList.toggle("empty", count === 0);
      section.querySelector("table").hidden = count === 0;
    }
  };
  const tell = (section, count) => {
    for (const place of document.querySelectorAll(`[data-count="${section}"]`)) place.textContent = count;
  };
  if (form && choice) {
    if (complete) {
      form.querySelector("button").hidden = true;
      form.addEventListener("submit", (event) => event.preventDefault());
      choice.addEventListener("input", tidy);
    } else {
      choice.addEventListener("change", () => form.requestSubmit());
    }
  }

  /* time that passes */
  let ahead = 0;
  const now = () => Math.floor(Date.now() / 1000) + ahead;
  const age = () => {
    for (const row of document.querySelectorAll(".row[data-until]")) {
      row.classList.toggle("passed", now() >= Number(row.dataset.until));
    }
    for (const place of document.querySelectorAll("[data-at]")) {
      const seconds = now() - Number(place.dataset.at);
      const minutes = Math.ceil(seconds / 60);
      const parts = [[Math.floor(minutes / 1440), words.day], [Math.floor(minutes / 60) % 24, "h"], [minutes % 60, "min"]];
      const text = parts.filter(([value]) => value > 0).map(([value, unit]) => `${value} ${unit}`).join(" ");
      if (seconds >= 0) place.textContent = seconds < 60 ? words.justNow : words.ago.replace("{}", text);
    }
  };

  /* rows that change */
  const place = (row, section) => {
    const body = document.querySelector(`section[data-section="${section}"] tbody`);
    const after = [...body.children].find((other) => other.dataset.key > row.dataset.key);
    body.insertBefore(row, after ?? null);
  };
  const stage = (row) => `${row.closest("section")?.dataset.section} ${row.dataset.said}`;
  const change = (news) => {
    /* a stage that stays is no news: what was there before, by its words */
    const before = new Set();
    for (const id of [...news.gone, ...news.rows.map((row) => row.id)]) {
      const row = document.getElementById(id);
      if (row) before.add(stage(row));
      row?.remove();
    }
    const told = [];
    for (const { section, html } of news.rows) {
      const made = document.createElement("template");
      made.innerHTML = html;
      const row = made.content.querySelector(".row");
      place(row, section);
      if (before.has(stage(row))) continue;
      row.classList.add("fresh");
      setTimeout(() => row.classList.remove("fresh"), 20000);
      if (shown() === "" || row.dataset.group === shown()) told.push(row.dataset.said);
    }
    if (choice && choice.tagName === "SELECT") {
      for (const group of news.groups) {
        if ([...choice.options].some((option) => option.value === group)) continue;
        const row = document.querySelector(`.row[data-group="${CSS.escape(group)}"] .group`);
        choice.add(new Option(row?.textContent ?? group, group));
      }
      form.hidden = choice.options.length < 3;
    }
    tidy();
    if (!complete && shown() === "") for (const [section, count] of Object.entries(news.counts)) tell(section, count);
    age();
    if (told.length > 0) said.textContent = told.length > 5 ? words.many.replace("{}", told.length) : told.join(". ");
  };

  /* the connection */
  let heard = Date.now();
  const report = (text, alarm) => {
    if (state.textContent !== text) state.textContent = text;
    state.className = alarm ? "state alarm" : "state panel";
  };
  const listen = () => {
    const events = new EventSource(`events?since=${encodeURIComponent(words.since)}`);
    events.addEventListener("change", (event) => {
      words.since = event.lastEventId;
      change(JSON.parse(event.data));
    });
    events.addEventListener("tick", (event) => {
      heard = Date.now();
      const tick = JSON.parse(event.data);
      ahead = tick.now - Math.floor(Date.now() / 1000);
      report(tick.failed ? words.failed : words.live, tick.failed);
      if (!tick.failed) {
        for (const made of document.querySelectorAll(".made time")) made.textContent = made.dateTime = tick.made;
      }
      age();
    });
    events.addEventListener("reload", () => location.reload());
    events.addEventListener("error", () => {
      report(words.lost, true);
      if (events.readyState === EventSource.CLOSED) setTimeout(listen, 5000);
    });
  };
  tidy();
  if (words.since) {
    state.hidden = false;
    listen();
    setInterval(() => {
      if (Date.now() - heard > 25000) report(words.lost, true);
      age();
    }, 5000);
  } else {
    age();
    setInterval(age, 30000);
  }
})();
