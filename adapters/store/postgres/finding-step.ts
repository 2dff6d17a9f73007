/**
 * The search as a function of the database, since only there a plan that fits any words can be asked for: without it each
 * search is planned anew, which takes longer than finding a few consults among a million.
 */
export const FINDING_STEP = `
  -- The consults that these words find, best first. No platform: those of every workspace.
  create function soundings_find(query text, of_platform text, of_workspace text, most integer, skipped integer)
  returns table (ref text, opinions integer, body bytea)
  language plpgsql stable set plan_cache_mode = force_generic_plan as $$
  begin
    return query
      select consults.ref, consults.opinions, events.body
      from (
        select search.consult, ts_rank(search.words, wanted) as rank
        from search, cast(query as tsquery) as wanted
        where search.words @@ wanted
          and (of_platform is null or (search.platform = of_platform and search.workspace = of_workspace))
        order by rank desc, search.consult desc
        limit most offset skipped
      ) as best
      join consults on consults.number = best.consult
      join events on events.ref = consults.ref and events.version = 1
      order by best.rank desc, best.consult desc;
  end $$;
  `
