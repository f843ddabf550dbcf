from jinja2.runtime import LoopContext, Macro, Markup, Namespace, TemplateNotFound, TemplateReference, TemplateRuntimeError, Undefined, escape, identity, internalcode, markup_join, missing, str_join
name = 'order.css'

def root(context, missing=missing):
    resolve = context.resolve_or_missing
    undefined = environment.undefined
    concat = environment.concat
    cond_expr_undefined = Undefined
    if 0: yield None
    pass
    yield 'body { max-width: 54rem; }\ntable.goods { break-inside: auto; font-size: .92rem; }\ntable.goods thead { display: table-header-group; }\ntable.goods tbody { break-inside: avoid; }\ntable.goods tr.goods td { border-bottom: 0; padding-bottom: 0; }\ntable.goods thead th { border-bottom: 2px solid #1a1a1a; font-weight: bold; white-space: nowrap; }\ntable.goods th.money { text-align: right; padding-right: 0; }\ntable.goods td.money { padding-left: .8rem; }\ntd.units, td.codes { white-space: nowrap; }\n'

blocks = {}
debug_info = ''