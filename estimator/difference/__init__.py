"""What made the price of a job change from one revision to the next: a share for every cause.

`inputs` holds everything that decides, in pieces that can be replaced one at a time, and makes an
estimate of them; `facts`, `figures` and `market` find the pieces that differ (of the survey; of
practice values, norms, rules and settings; of data sheets, prices, substitutes and discount), each
as a `change`; `steps` replaces one after another and notes what each does. The shares add up to the
whole change to the penny, since each begins where the one before it ended.

Pure like what it calls. Which texts a revision was made with is for `estimator.workflow` to find.
"""
